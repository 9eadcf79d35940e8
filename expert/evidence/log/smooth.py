"""Means, noise and gaps of unevenly sampled signals; arrays have one value a row."""

from __future__ import annotations

import math

from expert.evidence.log.ranks import median

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# A single row that leaves both of its neighbours by so much is a fault of the logger: assumed.
GLITCH_KPA = 40.0


def held(values: Floats) -> Floats:
    """The values with each gap filled by the last value before it; a gap at the start stays."""
    import numpy as np

    known = ~np.isnan(values)
    if bool(known.all()):
        return values
    rows = np.where(known, np.arange(values.size), 0)
    filled: Floats = values[np.maximum.accumulate(rows)]
    return filled


def joined(time_s: Floats, values: Floats, at_s: Floats) -> Floats | None:
    """The values at other times, on straight lines between what is known; None of too few."""
    import numpy as np

    known = np.isfinite(values)
    if int(known.sum()) < 2:
        return None
    return np.interp(at_s, time_s[known], values[known])


def boxed(time_s: Floats, values: Floats, at_s: Floats, width_s: float) -> Floats:
    """Mean over a window of a width round each time; at the ends the window gets narrower.

    ``values`` must be finite and ``time_s`` strictly increasing. The mean is that of the straight
    lines between the rows, so it does not care for uneven sampling.
    """
    import numpy as np

    if time_s.size < 2:
        return np.full(at_s.shape, values[0])
    area = np.concatenate(([0.0], np.cumsum(np.diff(time_s) * (values[1:] + values[:-1]) / 2.0)))

    def area_to(at: Floats) -> Floats:
        row = np.minimum(np.searchsorted(time_s, at, side="right") - 1, time_s.size - 2)
        ends = np.interp(at, time_s, values)
        found: Floats = area[row] + (at - time_s[row]) * (values[row] + ends) / 2.0
        return found

    half = np.minimum(width_s / 2.0, np.minimum(at_s - time_s[0], time_s[-1] - at_s))
    low, high = at_s - half, at_s + half
    plain = np.interp(at_s, time_s, values)
    narrow = half <= 1e-9
    wide = np.where(narrow, 1.0, high - low)
    mean = (area_to(high) - area_to(low)) / wide
    return np.where(narrow, plain, mean)


def noise(values: Floats) -> float:
    """Standard deviation of white noise on a slow signal, from its second differences.

    Median absolute deviation times 1.4826 for normal noise; a second difference of white noise
    has six times its variance.
    """
    import numpy as np

    if values.size < 5:
        return 0.0
    second = np.abs(np.diff(values, 2))
    return 1.4826 * median(second) / math.sqrt(6.0)


def deglitched(values: Floats, most: float = GLITCH_KPA) -> Floats:
    """The values with each lone row that leaves both neighbours the same way replaced by them."""
    import numpy as np

    if values.size < 3:
        return values
    before, here, after = values[:-2], values[1:-1], values[2:]
    over = np.minimum(here - before, here - after)
    under = np.minimum(before - here, after - here)
    lone = (over > most) | (under > most)
    if not bool(lone.any()):
        return values
    mended = values.copy()
    mended[1:-1][lone] = (before[lone] + after[lone]) / 2.0
    return mended
