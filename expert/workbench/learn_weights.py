"""How often each cause is met, from the cases in which it was confirmed.

Each case is a choice among the causes that such a car can have, as likely as their weights and
complaints make them, with gamma priors on the weights (D. R. Hunter, "MM algorithms for
generalized Bradley-Terry models", Annals of Statistics 32, 2004; F. Caron and A. Doucet, "Efficient
Bayesian inference for generalized Bradley-Terry models", Journal of Computational and Graphical
Statistics 21, 2012; both from memory). Where every car can have every cause and each shows the
complaint alike, this is the posterior mean of a Dirichlet prior, that is plain counting.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
import numpy.typing as npt

from expert.model import Knowledge, Policy, Seen
from expert.workbench.learn_count import Car, Tally, shows

Floats = npt.NDArray[np.float64]
Column = Literal["just_fitted", "settled"]

COLUMNS: Final[tuple[Column, ...]] = ("just_fitted", "settled")
CAUSES_A_STRENGTH: Final = 10
_ROUNDS: Final = 60
_CHUNK: Final = 2048
# A word is kept where the cases hardly move it.
_MOVED: Final = 0.005


@dataclass(frozen=True, slots=True)
class SeenChange:
    """A learned weight of a cause in one column, and the cases with the cause that count there."""

    cause: str
    column: Column
    before: float
    after: float
    cases: int


def seen_changes(knowledge: Knowledge, tally: Tally, strength: float) -> Iterator[SeenChange]:
    """Every weight that the cases move.

    A column of weights in the files weighs ``strength`` cases for every ten causes, so that a cause
    is not given up because it was not among the first few hundred cases.
    """
    names = list(knowledge.causes)
    seen = [knowledge.causes[name].seen for name in names]
    before = np.array([_weights(one, knowledge.policy) for one in seen]).T
    choices = Choices(knowledge, tally)
    after = fitted_weights(before, choices, strength * len(names) / CAUSES_A_STRENGTH)
    for k, name in enumerate(names):
        for row, column in enumerate(COLUMNS):
            was, weight = float(before[row, k]), float(f"{after[row, k]:.3g}")
            if abs(weight - was) >= _MOVED * was:
                yield SeenChange(name, column, was, weight, int(choices.met[row, k]))


def _weights(seen: Seen, policy: Policy) -> tuple[float, float]:
    return policy.weight(seen.just_fitted), policy.weight(seen.settled)


class Choices:
    """The cases as choices among causes, in arrays over kinds of cars (g,) and causes (n,).

    ``shows`` (g, n) is the chance of the complaint, ``fresh`` (g, n) how far the column of just
    fitted counts, ``chosen`` (g, n) how often each cause was confirmed; ``met`` (2, n) are the
    cases with each cause in which each column counts at all.
    """

    def __init__(self, knowledge: Knowledge, tally: Tally) -> None:
        column = {name: k for k, name in enumerate(knowledge.causes)}
        rows: dict[Car, int] = {}
        for car, _ in tally.causes:
            rows.setdefault(car, len(rows))
        shown: dict[tuple[frozenset[str], str], list[float]] = {}
        for car in rows:
            if car[:2] not in shown:
                shown[car[:2]] = shows(knowledge, *car[:2])
        size = (len(rows), len(column))
        self.shows = np.zeros(size, np.float32)
        self.fresh = np.zeros(size, np.float32)
        self.chosen = np.zeros(size, np.float32)
        for car, row in rows.items():
            self.shows[row] = shown[car[:2]]
            self.fresh[row] = car.fresh
        for (car, cause), count in tally.causes.items():
            self.chosen[rows[car], column[cause]] += count
        self.met = np.stack(
            [
                np.where(self.fresh > 0.0, self.chosen, 0.0).sum(axis=0),
                np.where(self.fresh < 1.0, self.chosen, 0.0).sum(axis=0),
            ]
        )


def fitted_weights(before: Floats, choices: Choices, strength: float) -> Floats:
    """The weights (2, n) of all causes: just fitted, and settled."""
    rate = strength / before.sum(axis=1, keepdims=True)
    after = before.copy()
    for _ in range(_ROUNDS):
        counts, exposure = np.zeros_like(before), np.zeros_like(before)
        for start in range(0, len(choices.shows), _CHUNK):
            rows = slice(start, start + _CHUNK)
            fresh = choices.fresh[rows].astype(float)
            shows, chosen = choices.shows[rows].astype(float), choices.chosen[rows].astype(float)
            first, second = fresh * after[0], (1.0 - fresh) * after[1]
            weight = first + second
            each = chosen.sum(axis=1) / (shows * weight).sum(axis=1)
            counts += np.stack(
                [(chosen * first / weight).sum(axis=0), (chosen * second / weight).sum(axis=0)]
            )
            exposure += np.stack([each @ (shows * fresh), each @ (shows * (1.0 - fresh))])
        moved = (rate * before + counts) / (rate + exposure)
        done = np.allclose(moved, after, rtol=1e-6)
        after = moved
        if done:
            break
    return after
