"""Random two-layer networks with findings, to be given to any library for Bayesian networks.

Causes are independent, a counter restricts them to at most two, checks are leaky noisy-MAX of a
few causes each. No listed cause at all stands for `unlisted`, which here answers as a sound car.
The tables are filled by counting over the levels of each cause, which shares no code with the
product form that is under test.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from expert.reasoning.belief import Belief, Evidence, prior
from expert.reasoning.channels import Floats, graded

ANSWERS = 3
MOST_PARENTS = 6
_SECOND_FAULT, _UNLISTED, _SLIP = 0.3, 0.05, 0.02


@dataclass(frozen=True, slots=True)
class Check:
    """``parents`` are causes; ``share`` (ANSWERS, parents) how each makes a car answer."""

    parents: tuple[int, ...]
    share: Floats
    leak: Floats
    seen: int | None

    def table(self) -> Floats:
        """P(answer | which parents are there), (ANSWERS, 2, 2, ...), the slip included."""
        table = np.zeros((ANSWERS, *[2] * len(self.parents)))
        for there in np.ndindex(*table.shape[1:]):
            levels = self.leak
            for column, present in enumerate(there):
                if present:
                    levels = _worse(levels, self.share[:, column])
            table[(slice(None), *there)] = (1.0 - _SLIP) * levels + _SLIP / ANSWERS
        return table


def _worse(first: Floats, second: Floats) -> Floats:
    """How the worse of two independent levels is distributed."""
    levels = np.zeros(ANSWERS)
    for x, y in np.ndindex(ANSWERS, ANSWERS):
        levels[max(x, y)] += first[x] * second[y]
    return levels


@dataclass(frozen=True, slots=True)
class TwoLayer:
    """``odds`` (causes,) of each cause, and as many checks as causes, every other one answered."""

    odds: Floats
    checks: tuple[Check, ...]

    def counter_likelihood(self) -> Floats:
        """What makes independent causes have the prior of ours: by none, one, two, more."""
        ones = self.odds.sum()
        twos = (ones**2 - (self.odds**2).sum()) / 2.0
        listed = 1.0 - _UNLISTED
        weight = np.array(
            [_UNLISTED, listed * (1 - _SECOND_FAULT) / ones, listed * _SECOND_FAULT / twos, 0.0]
        )
        return weight / weight.max()

    def prior(self) -> Belief:
        pairable = np.ones(len(self.odds), bool)
        return prior(self.odds, pairable, _SECOND_FAULT, _UNLISTED)

    def findings(self) -> list[Evidence]:
        found = []
        for check in self.checks:
            if check.seen is None:
                continue
            share = np.zeros((ANSWERS, len(self.odds)))
            share[0] = 1.0
            share[:, list(check.parents)] = check.share
            terms = graded(share, check.leak)[check.seen]
            found.append(Evidence(terms, float(check.leak[check.seen]), _SLIP, ANSWERS))
        return found


def two_layer(causes: int, seed: int = 1) -> TwoLayer:
    rng = np.random.default_rng([seed, causes])
    checks = []
    for k in range(causes):
        parents = rng.choice(causes, min(MOST_PARENTS, causes), replace=False)
        checks.append(
            Check(
                parents=tuple(sorted(int(parent) for parent in parents)),
                share=rng.dirichlet(np.ones(ANSWERS), len(parents)).T,
                leak=rng.dirichlet([20.0, 1.0, 1.0]),
                seen=int(rng.integers(ANSWERS)) if k % 2 == 0 else None,
            )
        )
    return TwoLayer(rng.uniform(0.1, 1.0, causes), tuple(checks))
