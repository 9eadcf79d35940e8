"""How firm is a ranking? Shake every probability behind it, and see how often it stays.

The numbers of the knowledge are judgements. If the top cause and the drive verdict survive when
all of them are wrong by a little, they do not hang on any one of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from expert.case.consult import Consultant, Consultation
from expert.model import Cause, Check, Knowledge, Policy, Seen, Symptom

DRAWS = 24
SEED = 20
_EDGE = 1e-6


@dataclass(frozen=True, slots=True)
class Firmness:
    """In what share of ``draws`` the top cause and the drive verdict stayed as they are."""

    draws: int
    top_stays: float
    verdict_stays: float


def firmness(consultation: Consultation, draws: int = DRAWS, seed: int = SEED) -> Firmness:
    """Shake the numbers behind a consultation, seeded, and count what stays."""
    rng = np.random.default_rng(seed)
    top, drive = consultation.order[:1], consultation.verdict.drive
    same_top = same_drive = 0
    for _ in range(draws):
        shaken = shaken_knowledge(consultation, rng)
        again = Consultant(shaken).consult(consultation.state)
        same_top += again.order[:1] == top
        same_drive += again.verdict.drive == drive
    return Firmness(draws, same_top / draws, same_drive / draws)


def shaken_knowledge(consultation: Consultation, rng: np.random.Generator) -> Knowledge:
    """The knowledge with noise on every number that this case depends on."""
    knowledge, state = consultation.knowledge, consultation.state
    spread = knowledge.policy.shake
    asked = {finding.check for finding in state.findings} & knowledge.checks.keys()
    checks = {name: shaken_check(knowledge.checks[name], spread, rng) for name in sorted(asked)}
    symptoms = {
        name: shaken_symptom(knowledge.symptoms[name], spread, rng)
        for name in state.symptoms
        if name in knowledge.symptoms
    }
    policy = shaken_policy(knowledge.policy, spread, rng)
    causes = {name: shaken_cause(cause, spread, rng) for name, cause in knowledge.causes.items()}
    return replace(
        knowledge,
        policy=policy,
        causes=causes,
        checks={**knowledge.checks, **checks},
        symptoms={**knowledge.symptoms, **symptoms},
    )


def shaken_policy(policy: Policy, spread: float, rng: np.random.Generator) -> Policy:
    """The weight of every word in `seen` moved, on the scale of logarithms."""
    frequency = {word: _times(weight, spread, rng) for word, weight in policy.frequency.items()}
    return replace(policy, frequency=frequency)


def shaken_cause(cause: Cause, spread: float, rng: np.random.Generator) -> Cause:
    """The same with every weight of its own; words in `seen` move with the policy."""
    fresh, settled = cause.seen.just_fitted, cause.seen.settled
    if isinstance(fresh, str) and isinstance(settled, str):
        return cause
    seen = Seen(
        just_fitted=fresh if isinstance(fresh, str) else _times(fresh, spread, rng),
        settled=settled if isinstance(settled, str) else _times(settled, spread, rng),
    )
    return replace(cause, seen=seen)


def _times(weight: float, spread: float, rng: np.random.Generator) -> float:
    return weight * float(np.exp(rng.normal(0.0, spread)))


def shaken_check(check: Check, spread: float, rng: np.random.Generator) -> Check:
    """Every share of a check moved on the scale of log-odds."""
    given = {cause: _row(check, row, spread, rng) for cause, row in check.given.items()}
    return replace(check, given=given, healthy=_row(check, check.healthy, spread, rng))


def shaken_symptom(symptom: Symptom, spread: float, rng: np.random.Generator) -> Symptom:
    """Every share of a symptom moved on the scale of log-odds."""
    return replace(symptom, causes=_shaken(symptom.causes, spread, rng))


def _row(
    check: Check, row: Mapping[str, float], spread: float, rng: np.random.Generator
) -> dict[str, float]:
    """A row of shares: shaken one by one, and kept at a sum below 1 in each channel."""
    shaken = _shaken(row, spread, rng)
    if check.kind == "nominal":
        return shaken
    channels = (check.low, check.high) if check.kind == "two-sided" else (tuple(row),)
    for channel in channels:
        total = sum(shaken.get(answer, 0.0) for answer in channel)
        if total > 1.0:
            for answer in channel:
                if answer in shaken:
                    shaken[answer] /= total
    return shaken


def _shaken(
    shares: Mapping[str, float], spread: float, rng: np.random.Generator
) -> dict[str, float]:
    """Each share moved on the scale of log-odds by normal noise; 0 and 1 stay."""
    return {name: _moved(share, float(rng.normal(0.0, spread))) for name, share in shares.items()}


def _moved(share: float, noise: float) -> float:
    if not _EDGE < share < 1.0 - _EDGE:
        return share
    odds = share / (1.0 - share) * float(np.exp(noise))
    return odds / (1.0 + odds)
