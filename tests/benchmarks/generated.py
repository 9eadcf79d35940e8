"""Invented knowledge of any size, with the mix of checks that the shipped knowledge has."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import cycle, islice

import numpy as np

from expert.model import Cause, Check
from expert.reasoning.belief import Belief, Stack, posterior, predict
from expert.reasoning.channels import Floats
from expert.reasoning.network import History, Network
from expert.reasoning.plan import Costs, one_step_values
from tests import small

# Kind and number of answers of 20 checks; a cause is named by 14 checks, as in what is shipped.
_MIX = [("graded", 3)] * 13 + [("graded", 4)] * 3 + [("graded", 2)] * 1
_MIX += [("two-sided", 4)] * 1 + [("nominal", 6)] * 2
_NAMED = 14
_FINDINGS = 5
_SPREAD = ("common", "occasional", "rare")


@dataclass(frozen=True, slots=True)
class Large:
    """A belief over many causes after a few findings, and all that is needed to value checks."""

    belief: Belief
    stack: Stack
    costs: Costs

    def values(self) -> Floats:
        """What every check is worth, exact over all pairs."""
        return one_step_values(self.belief, predict(self.belief, self.stack), self.costs)


def large(size: int, seed: int = 1) -> Large:
    """As many causes as checks."""
    rng = np.random.default_rng(seed)
    causes = {f"cause-{k}": _cause(rng) for k in range(size)}
    names = list(causes)
    checks = {
        f"check-{k}": _check(rng, kind, answers, names)
        for k, (kind, answers) in enumerate(islice(cycle(_MIX), size))
    }
    shows = {name: float(rng.uniform(0.3, 0.95)) for name in names}
    small_one = small.knowledge()
    complaint = small.replace(small_one.symptoms["lazy"], causes=shows)
    knowledge = small.knowledge(causes=causes, checks=checks, symptoms={"lazy": complaint})
    network = Network(knowledge, frozenset(), "lazy", History())
    findings = [network.symptom("lazy")]
    for name in list(checks)[:_FINDINGS]:
        findings.append(network.finding(name, [list(checks[name].answers)[1]], "asked"))
    costs = Costs(
        np.array([check.minutes for check in checks.values()]),
        np.array([cause.minutes for cause in causes.values()]),
        knowledge.policy.workshop_minutes,
    )
    stack = network.stack
    assert stack is not None
    return Large(posterior(network.prior, findings), stack, costs)


def _cause(rng: np.random.Generator) -> Cause:
    seen = small.Seen(
        just_fitted=_SPREAD[int(rng.integers(3))], settled=_SPREAD[int(rng.integers(3))]
    )
    return small.cause("Invented", seen=seen, minutes=float(rng.uniform(10.0, 200.0)))


def _check(rng: np.random.Generator, kind: str, answers: int, causes: list[str]) -> Check:
    unsound = [f"a{k}" for k in range(1, answers)]
    named = rng.choice(len(causes), min(_NAMED, len(causes)), replace=False)
    low, high = unsound[:1], unsound[1:]
    given = {}
    for k in named:
        sides = unsound if kind != "two-sided" else low if rng.random() < 0.7 else high
        shares = rng.dirichlet(np.ones(len(sides) + 1))[1:]
        given[causes[k]] = dict(zip(sides, map(float, shares), strict=True))
    extra = {"low": tuple(low), "high": tuple(high)} if kind == "two-sided" else {}
    return small.check(
        "Invented?",
        {"a0": "healthy", **dict.fromkeys(unsound, "not")},
        given,
        kind=kind,
        healthy=dict.fromkeys(unsound, 0.01),
        minutes=float(rng.uniform(2.0, 30.0)),
        **extra,
    )
