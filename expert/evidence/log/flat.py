"""A top of boost that is cut off: the same number, without wobble, in more than one pull."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from expert.evidence.log.ranks import median, quantile
from expert.evidence.log.record import Measured
from expert.evidence.log.told import NO_PULL, missing
from expert.evidence.log.trace import Trace

LEAST_S: Final = 0.5
_LEAST_ROWS: Final = 5
# Away from the flat top rows wobble by at least this many steps of the logger.
_WOBBLES: Final = 1.0
_SAME_KPA: Final = 0.05


def cut_flat(found: Sequence[Trace]) -> Measured:
    """How long the top of boost stands at one number, the same in two pulls; 0 where it does not.

    None where the rest of the log does not wobble either, for then a still top says nothing.
    """
    import numpy as np

    if not found:
        return missing(NO_PULL)
    if max(_wobble_kpa(trace) for trace in found) < _WOBBLES * _step_kpa(found):
        return missing("the logger's steps are too coarse to see whether a top is cut off")
    tops = [_top(trace) for trace in found]
    flat = [one for one in tops if one[1] >= LEAST_S and one[2] >= _LEAST_ROWS]
    most = max((one[0] for one in tops), default=0.0)
    flat = [one for one in flat if abs(one[0] - most) <= _SAME_KPA]
    span = found[0].span(found[0].begin, found[0].last)
    if not flat:
        return Measured(0.0, 0.0, span)
    if len(flat) < 2:
        return missing("the top stands still in one pull only; a second pull shows if it is cut")
    _, lasts, _, trace, first, last = max(flat, key=lambda one: one[1])
    shown = trace.span(
        int(np.searchsorted(trace.time_s, trace.logged_s[first])),
        int(np.searchsorted(trace.time_s, trace.logged_s[last])),
    )
    return Measured(lasts, trace.row_s, shown)


def _top(trace: Trace) -> tuple[float, float, int, Trace, int, int]:
    """The highest number of a pull, how long and for how many rows it stands, and where."""
    import numpy as np

    boost = trace.boost_kpa
    top = float(np.max(boost))
    edges = np.diff(np.concatenate(([0], (boost >= top - 1e-6).astype(np.int8), [0])))
    starts, stops = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    longest = int(np.argmax(stops - starts))
    first, last = int(starts[longest]), int(stops[longest]) - 1
    lasts = float(trace.logged_s[last] - trace.logged_s[first])
    return top, lasts, last - first + 1, trace, first, last


def _wobble_kpa(trace: Trace) -> float:
    """The noise of the rows that are below the top; 0 where there are too few."""
    import numpy as np

    below = trace.boost_kpa < float(np.max(trace.boost_kpa)) - 1e-6
    beside = below[:-2] & below[1:-1] & below[2:]
    if int(beside.sum()) < _LEAST_ROWS:
        return 0.0
    second = np.abs(np.diff(trace.boost_kpa, 2))[beside]
    return 1.4826 * median(second) / math.sqrt(6.0)


def _step_kpa(found: Sequence[Trace]) -> float:
    """The smallest step between two numbers of the log."""
    import numpy as np

    steps = np.abs(np.concatenate([np.diff(trace.boost_kpa) for trace in found]))
    moved = steps[steps > 1e-6]
    return quantile(moved, 0.01) if moved.size else 1.0
