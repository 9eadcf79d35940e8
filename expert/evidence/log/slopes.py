"""Slopes and middles that a few wild rows do not move, with their 95 % intervals."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.evidence.log.ranks import median

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Two-sided 95 % of the normal distribution.
Z95: Final = 1.959964
_MOST_POINTS: Final = 160


class Line(NamedTuple):
    """A straight line: slope with its interval, and the value at x = 0."""

    slope: float
    low: float
    high: float
    intercept: float

    def at(self, x: float) -> float:
        """The value of the line."""
        return self.intercept + self.slope * x


def theil_sen(x: Floats, y: Floats) -> Line | None:
    """The median of the slopes between all pairs of points, with Sen's interval.

    P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, Journal of the
    American Statistical Association 63 (1968). Past 160 points every so many-th is taken. None
    when fewer than three points differ in x.
    """
    import numpy as np

    if x.size > _MOST_POINTS:
        chosen = np.linspace(0, x.size - 1, _MOST_POINTS).astype(int)
        x, y = x[chosen], y[chosen]
    if x.size < 3:
        return None
    one, other = np.triu_indices(x.size, 1)
    across = x[other] - x[one]
    usable = across != 0.0
    if int(usable.sum()) < 2:
        return None
    slopes = np.sort((y[other] - y[one])[usable] / across[usable])
    middle = median(slopes)
    spread = Z95 * math.sqrt(x.size * (x.size - 1) * (2 * x.size + 5) / 18.0)
    low = max(round((slopes.size - spread) / 2.0) - 1, 0)
    high = min(round((slopes.size + spread) / 2.0), slopes.size - 1)
    intercept = median(y) - middle * median(x)
    return Line(middle, float(slopes[low]), float(slopes[high]), intercept)


def middle(values: Floats, independent: float) -> tuple[float, float]:
    """The median and half the width of its 95 % interval.

    ``independent`` is how many of the values count as independent of each other. The spread is the
    median absolute deviation; a median of normal values varies 1.2533 times as much as a mean.
    """
    import numpy as np

    found = median(values)
    spread = 1.4826 * median(np.abs(values - found))
    return found, Z95 * 1.2533 * spread / math.sqrt(max(independent, 1.0))
