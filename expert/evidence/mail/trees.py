"""Many small decision trees whose leaves add up: what gradient boosting learned elsewhere."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Trees:
    """Trees over rows of numbers.

    ``begin`` is the number of the first node of each tree. A node looks at one column of a row, and
    goes to ``left`` where that is at most its ``bound``, else to ``right``; both count nodes from
    the beginning of all. A leaf, whose ``column`` is -1, adds its ``value`` to ``start``.
    """

    def __init__(
        self,
        *,
        start: float,
        begin: Sequence[int],
        column: Sequence[int],
        bound: Sequence[float],
        left: Sequence[int],
        right: Sequence[int],
        value: Sequence[float],
    ) -> None:
        self._start = start
        self._begin = np.array(begin, dtype=np.int64)
        leaf = np.array(column) < 0
        here = np.arange(len(column))
        # A leaf leads to itself, so that all rows take the same number of steps.
        self._column = np.where(leaf, 0, column)
        self._bound = np.array(bound, dtype=np.float64)
        following = np.stack((np.where(leaf, here, right), np.where(leaf, here, left)))
        self._steps = _depth(self._begin, following)
        self._next = following.T.ravel()
        self._value = np.array(value, dtype=np.float64)

    def score(self, rows: Floats) -> Floats:
        """The sum for each row; ``rows`` has the shape (rows, columns)."""
        count, width = rows.shape
        at = np.tile(self._begin, (count, 1))
        row = np.arange(count)[:, None] * width
        numbers = rows.ravel()
        for _ in range(self._steps):
            left = numbers.take(row + self._column.take(at)) <= self._bound.take(at)
            at = self._next.take(2 * at + left)
        total: Floats = self._start + self._value.take(at).sum(axis=1)
        return total


def _depth(begin: NDArray[np.int64], following: NDArray[np.int64]) -> int:
    """How many steps lead from a first node to the farthest leaf."""
    steps, at = 0, begin
    while True:
        after = np.unique(following[:, at])
        if np.array_equal(after, np.unique(at)):
            return steps
        steps, at = steps + 1, after
