"""Medians and quantiles, quick for a few values as for a million; none of the values may be NaN.

What comes out is what numpy's own functions give, to the last digit. Those take long to begin with,
and look at a whole column several times.
"""

from __future__ import annotations

import math
from typing import Final

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# From so many values on some of them are looked at first, to find out near what the wanted one is.
_MANY: Final = 50_000
_SAMPLE: Final = 4_000
# Bounds are so many standard deviations of its rank in the sample away from the wanted value.
_SURE: Final = 4.0


def median(values: Floats) -> float:
    """The middle value, or the mean of the two in the middle; NaN of none."""
    size = values.size
    if not size:
        return math.nan
    low, high = _neighbours(values, (size - 1) // 2)
    return (low + high) / 2.0 if size % 2 == 0 else low


def quantile(values: Floats, share: float) -> float:
    """The value that a share of all values, 0 to 1, does not exceed; NaN of none.

    Between two values it lies on a straight line.
    """
    size = values.size
    if not size:
        return math.nan
    place = share * (size - 1)
    rank = math.floor(place)
    low, high = _neighbours(values, rank)
    part = place - rank
    apart = high - low
    return high - apart * (1.0 - part) if part >= 0.5 else low + apart * part


def finite(values: Floats) -> Floats:
    """Those values that are finite; the same array where all are."""
    import numpy as np

    there = np.isfinite(values)
    return values if bool(there.all()) else values[there]


def _neighbours(values: Floats, rank: int) -> tuple[float, float]:
    """The value of a rank, from 0 on, and of the next; the last one is its own next."""
    import numpy as np

    after = min(rank + 1, values.size - 1)
    if values.size >= _MANY:
        found = _bracketed(values, rank, after)
        if found is not None:
            return found
    ordered = np.partition(values, (rank, after))
    return float(ordered[rank]), float(ordered[after])


def _bracketed(values: Floats, rank: int, after: int) -> tuple[float, float] | None:
    """As `_neighbours`, among those values that are near; None where the sample misled."""
    import numpy as np

    sample = np.sort(values[:: values.size // _SAMPLE])
    share = rank / values.size
    spread = _SURE * math.sqrt(sample.size * share * (1.0 - share)) + 2.0
    first, last = (math.floor(share * sample.size + out) for out in (-spread, spread))
    low = float(sample[first]) if first >= 0 else -math.inf
    high = float(sample[last]) if last < sample.size else math.inf
    below = int(np.count_nonzero(values < low))
    upto = int(np.count_nonzero(values <= high))
    if not below <= rank <= after < upto:
        return None
    if low == high:
        return low, low
    near = np.partition(values[(values >= low) & (values <= high)], (rank - below, after - below))
    return float(near[rank - below]), float(near[after - below])
