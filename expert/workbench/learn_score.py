"""Rankings scored on cases that nothing was learned from, before and after.

The cases fall into parts by their digests, so the same cases fall the same way whatever the files
are called. Each part is ranked by what is learned from all the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from heapq import heappush, heapreplace
from itertools import groupby
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.case.consult import Consultant
from expert.model import Knowledge
from expert.reasoning.belief import Belief, marginals
from expert.workbench.learn_read import Closed
from expert.workbench.scores import Bin, bins, calibration_error, log_loss

Floats = npt.NDArray[np.float64]

PARTS: Final = 5
# A ranking takes milliseconds; of very many cases these are enough to tell better from worse.
MOST_SCORED: Final = 2000


@dataclass(frozen=True, slots=True)
class Forecast:
    """What a ranking said of a case that is closed.

    ``hit`` is the share of the confirmed cause, ``squares`` Brier's score of the case over all
    causes and `unlisted`. ``first`` is the stated probability of the likeliest cause, ``right``
    whether that was the confirmed one.
    """

    hit: float
    squares: float
    first: float
    right: bool


@dataclass(frozen=True, slots=True)
class Score:
    """Means over cases: the log score in nats, Brier's score over all causes, 0 being best in both.

    ``right`` is the share of cases whose likeliest cause was the confirmed one; ``calibration`` is
    how far the stated probability of the likeliest cause is from that, over ``bins``.
    """

    cases: int
    log: float
    brier: float
    right: float
    calibration: float
    bins: tuple[Bin, ...]


class Held:
    """The cases to be scored: at most so many, those with the lowest digests."""

    def __init__(self, most: int = MOST_SCORED) -> None:
        self._most = most
        self._heap: list[tuple[int, int, Closed]] = []

    def offer(self, case: Closed) -> None:
        """Keep the case if it is among the lowest."""
        # The heap holds the highest digest first; the number keeps cases out of the comparison.
        item = (-int.from_bytes(case.key[8:], "big"), id(case), case)
        if len(self._heap) < self._most:
            heappush(self._heap, item)
        elif item > self._heap[0]:
            heapreplace(self._heap, item)

    def part(self, number: int) -> list[Closed]:
        """The kept cases of one part, in the order of their digests."""
        inside = [case for *_, case in self._heap if part_of(case) == number]
        return sorted(inside, key=lambda case: case.key)


def part_of(case: Closed) -> int:
    """The part that a case belongs to."""
    return int.from_bytes(case.key[:8], "big") % PARTS


def forecasts(knowledge: Knowledge, cases: Iterable[Closed]) -> list[Forecast]:
    """What the knowledge says of each case before its cause was mended."""
    found = []
    # A consultant keeps the arrays of every car that it has seen, so each kind of car gets its own.
    for _, group in groupby(sorted(cases, key=_car), key=_car):
        consultant = Consultant(knowledge)
        for case in group:
            consultation = consultant.consult(case.before)
            column = consultation.network.column[case.cause]
            found.append(forecast(consultation.belief, column))
    return found


def _car(case: Closed) -> tuple[str, str, str, str]:
    state = case.before
    return (state.setup or "", state.gate or "", state.bypass or "", state.symptoms[0])


def shares(belief: Belief) -> Floats:
    """P(the cause that is confirmed is this one), shape (causes + 1,), `unlisted` last; sums to 1.

    Of two faults each is as likely to be the one that is found.
    """
    return np.append(belief.single + belief.pair.sum(axis=1) / 2.0, belief.unlisted)


def forecast(belief: Belief, true: int) -> Forecast:
    """The forecast that a belief is, once the cause in column ``true`` was confirmed."""
    share = shares(belief)
    stated = marginals(belief)
    first = int(np.argmax(stated))
    return Forecast(
        hit=float(share[true]),
        squares=float((share**2).sum() - 2.0 * share[true] + 1.0),
        first=float(stated[first]),
        right=first == true,
    )


def score(found: Sequence[Forecast]) -> Score:
    """The means over all forecasts; there is at least one."""
    right = np.array([one.right for one in found], float)
    table = bins(np.array([one.first for one in found]), right)
    return Score(
        cases=len(found),
        log=log_loss(np.array([one.hit for one in found])),
        brier=float(np.mean([one.squares for one in found])),
        right=float(right.mean()),
        calibration=calibration_error(table),
        bins=tuple(table),
    )


def compared(
    before: Knowledge, after: Callable[[int], Knowledge], held: Held
) -> tuple[Score, Score]:
    """The scores of the held cases, each ranked by what was learned from the other parts.

    ``after`` gives the knowledge that was learned without a part.
    """
    first: list[Forecast] = []
    second: list[Forecast] = []
    for number in range(PARTS):
        cases = held.part(number)
        if cases:
            first += forecasts(before, cases)
            second += forecasts(after(number), cases)
    return score(first), score(second)
