"""Rankings of many cars at once: what a consultation says of each, as one product of matrices.

A hypothesis is a cause alone, a pair, or `unlisted`, in this order. Every finding is a row of
logarithms over them, and a car's ranking is the sum of its rows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from expert.reasoning.belief import Belief, Evidence
from expert.reasoning.network import Network
from expert.workbench.calibrate_cars import Cars

Floats = npt.NDArray[np.float64]
# What is impossible, as a logarithm that can still be added up.
_NEVER = 1e-300


@dataclass(frozen=True, slots=True)
class Ranked:
    """What is stated of each car.

    ``probability`` (cars, causes): the cause is there, alone or with another. ``share``
    (cars, causes + 1): it is the one that will be confirmed, `unlisted` last; sums to 1.
    """

    probability: Floats
    share: Floats


class Ranker:
    """Ranks cars with the same parts; keeps what every finding says of their causes."""

    def __init__(self, causes: int) -> None:
        self._first, self._second = np.triu_indices(causes, k=1)
        self._member = np.zeros((len(self._first), causes))
        rows = np.arange(len(self._first))
        self._member[rows, self._first] = self._member[rows, self._second] = 1.0
        self._known: dict[tuple[str, tuple[str, ...]], Floats] = {}

    def ranked(self, network: Network, cars: Cars) -> Ranked:
        """The rankings of cars with the complaint and the history of the network."""
        assert network.complaint is not None
        start = _log(self._prior(network.prior))
        start = start + _log(self._likelihood(network.symptom(network.complaint)))
        rows: list[Floats] = []
        which: list[int] = []
        whose: list[int] = []
        for check, (numbers, answers) in cars.answers.items():
            row_of: dict[tuple[str, ...], int] = {}
            for number, answer in zip(numbers, answers, strict=True):
                if answer not in row_of:
                    row_of[answer] = len(rows)
                    rows.append(self._finding(network, check, answer))
                whose.append(int(number))
                which.append(row_of[answer])
        logs = np.tile(start, (len(cars.there), 1))
        if rows:
            found = np.zeros((len(cars.there), len(rows)))
            found[whose, which] = 1.0
            logs += found @ np.stack(rows)
        weight = np.exp(logs - logs.max(axis=1, keepdims=True))
        weight /= weight.sum(axis=1, keepdims=True)
        return self._summed(weight)

    def _finding(self, network: Network, check: str, answer: Sequence[str]) -> Floats:
        evidence = network.finding(check, answer, "asked")
        key = (check, tuple(answer))
        if key not in self._known:
            self._known[key] = _log(self._likelihood(evidence))
        # What something unlisted would answer depends on the complaint, all else does not.
        row = self._known[key].copy()
        row[-1] = _log(evidence.mixed(np.array([evidence.unlisted])))[0]
        return row

    def _prior(self, belief: Belief) -> Floats:
        pairs = belief.pair[self._first, self._second]
        return np.concatenate([belief.single, pairs, [belief.unlisted]])

    def _likelihood(self, evidence: Evidence) -> Floats:
        pairs = evidence.terms.of_pair()[self._first, self._second]
        every = np.concatenate([evidence.terms.of_single(), pairs, [evidence.unlisted]])
        return evidence.mixed(every)

    def _summed(self, weight: Floats) -> Ranked:
        causes = self._member.shape[1]
        single, unlisted = weight[:, :causes], weight[:, -1:]
        with_another = weight[:, causes:-1] @ self._member
        share = np.concatenate([single + with_another / 2.0, unlisted], axis=1)
        return Ranked(single + with_another, share)


def _log(chance: Floats) -> Floats:
    logs: Floats = np.log(np.maximum(chance, _NEVER))
    return logs
