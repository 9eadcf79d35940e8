"""May the car be driven, and may a check load its engine? Each answer names its reasons.

The drive verdict and the load gate are separate: a car may be fit to be driven off boost and
still not be fit for a full-throttle run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from expert.case.standing import current, standing_findings, standing_symptoms
from expert.case.state import State
from expert.model import Danger, Knowledge
from expert.reasoning.belief import Belief, any_of, marginals

Drive = Literal["ok", "caution", "stop"]

HOSES = "hose-trace"
RED_FLAGS = "red-flags"
# Complaints that an unlimited boost explains just as well as any listed cause does.
OVERPRESSURE_SYMPTOMS = frozenset({"overboost", "power-cut"})


@dataclass(frozen=True, slots=True)
class Verdict:
    """May the car be driven? Reasons are whole sentences, the gravest first."""

    drive: Drive
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LoadGate:
    """May a check that loads the engine be offered? If not, why not.

    ``hands_off`` says why nobody but a workshop may work on the car at all; mostly it is empty.
    """

    allowed: bool
    because: tuple[str, ...]
    hands_off: tuple[str, ...] = ()


def standing_dangers(knowledge: Knowledge, state: State) -> list[tuple[Danger, str]]:
    """The dangers that stand whatever the probabilities say, each with its sentence."""
    dangers: list[tuple[Danger, str]] = []
    for symptom_id in standing_symptoms(knowledge, state):
        symptom = knowledge.symptoms.get(symptom_id)
        if symptom is not None and symptom.danger != "none":
            dangers.append((symptom.danger, f"The complaint itself is dangerous: {symptom.title}."))
    for finding, answer in standing_findings(knowledge, state):
        check = knowledge.checks[finding.check]
        danger = check.danger.get(answer, "none")
        if danger != "none":
            words = check.answers.get(answer, answer).rstrip(".")
            dangers.append((danger, f"Seen in the check {finding.check}: {words}."))
    return dangers


def verdict(knowledge: Knowledge, state: State, causes: Sequence[str], belief: Belief) -> Verdict:
    """The drive verdict: the worst standing danger, and the chance of a stop cause."""
    policy = knowledge.policy
    stop_reasons: list[str] = []
    caution_reasons: list[str] = []
    for danger, sentence in standing_dangers(knowledge, state):
        (stop_reasons if danger == "stop" else caution_reasons).append(sentence)
    listed = [knowledge.causes[cause] for cause in causes]
    is_stop = np.array([cause.danger == "stop" for cause in listed], bool)
    chance = any_of(belief, is_stop)
    likely = sorted(zip(marginals(belief), listed, strict=True), key=lambda pair: -pair[0])
    if chance >= policy.stop:
        worst = next(cause for _, cause in likely if cause.danger == "stop")
        stop_reasons.append(
            f"It is {_percent(chance)} likely that something is wrong which must not be driven, "
            f"first of all: {worst.title}."
        )
    for probability, cause in likely:
        if probability < policy.notable:
            break
        if cause.danger == "caution" or (cause.danger == "stop" and chance < policy.stop):
            caution_reasons.append(f"Possible, {_percent(probability)}: {cause.title}.")
    if stop_reasons:
        return Verdict("stop", tuple(stop_reasons + caution_reasons))
    if caution_reasons:
        return Verdict("caution", tuple(caution_reasons))
    return Verdict("ok", ())


def load_gate(
    knowledge: Knowledge, state: State, causes: Sequence[str], belief: Belief
) -> LoadGate:
    """Whether a check may load the engine: hoses first, no red flag, no danger, no doubt."""
    reasons = []
    now = current(knowledge, state)
    if now.answers(HOSES) != ("matches",):
        reasons.append("Every hose must be traced and found right before the engine is loaded.")
    if now.answers(RED_FLAGS) != ("none",):
        reasons.append("The red flags must be asked and all be absent before the engine is loaded.")
    reasons += [
        sentence for danger, sentence in standing_dangers(knowledge, state) if danger == "stop"
    ]
    unlimited = np.array([knowledge.causes[cause].harm == "overpressure" for cause in causes], bool)
    chance = any_of(belief, unlimited)
    if not state.verifying and OVERPRESSURE_SYMPTOMS.intersection(state.symptoms):
        chance = min(1.0, chance + belief.unlisted)
    if chance >= knowledge.policy.gate:
        reasons.append(
            f"It is {_percent(chance)} likely that boost would have no limit; "
            f"below {_percent(knowledge.policy.gate)} a run may be offered."
        )
    return LoadGate(not reasons, tuple(reasons), hands_off(knowledge, state))


def hands_off(knowledge: Knowledge, state: State) -> tuple[str, ...]:
    """Why nobody but a workshop may work on this car now."""
    return tuple(
        "Nobody works on this car until a licensed workshop has found and mended this: "
        f"{_within_sentence(check.answers[answer])}."
        for finding, answer in standing_findings(knowledge, state)
        for check in [knowledge.checks[finding.check]]
        if answer in check.hands_off
    )


def _within_sentence(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")


def _percent(probability: float) -> str:
    share = 100.0 * probability
    return "under 1 %" if share < 1.0 else f"{share:.0f} %"
