"""A throttle that closes, or never opens, with the pedal flat."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from expert.evidence.log.ranks import quantile
from expert.evidence.log.record import Measured
from expert.evidence.log.told import NO_PULL, largest, missing
from expert.evidence.log.trace import CLOSING, Trace

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Marks = NDArray[np.bool_]

# How long the throttle must stay back with the pedal flat: a lift shows in both within less.
_LEAST_S: Final = 0.2
# A throttle that never opens further than this is part shut: common practice, no source.
PART_SHUT_PCT: Final = 70.0
# Loggers read about as well as this.
_READ_PCT: Final = 1.0


class Closing(NamedTuple):
    """Whether the throttle closed (1 or 0), the least it got to, and boost when it began to."""

    closed: Measured
    least_pct: Measured
    at_kpa: Measured


def closing(found: Sequence[Trace]) -> Closing:
    """What the throttle did while the pedal was flat, over all pulls; the worst one counts."""
    if not found:
        return Closing(*(missing(NO_PULL),) * 3)
    if all(trace.throttle_pct is None for trace in found):
        return Closing(*(missing("the log has no throttle"),) * 3)
    if all(trace.pedal_pct is None for trace in found):
        why = "the log has no pedal, so a lift looks like a throttle that closes"
        return Closing(*(missing(why),) * 3)
    each = [_closing(trace) for trace in found if trace.throttle_pct is not None]
    closed = [one for one in each if one.closed.value]
    if closed:
        with_boost = [one for one in closed if one.at_kpa.value is not None]
        return min(with_boost or closed, key=lambda one: one.least_pct.value or 0.0)
    return min(each, key=lambda one: one.least_pct.value or 0.0)


def opening(found: Sequence[Trace]) -> Measured:
    """The furthest that the throttle opened while the pedal was flat, over all pulls, in per cent.

    The 95th percentile of a pull, so that noise does not count.
    """
    import numpy as np

    if not found:
        return missing(NO_PULL)
    each = []
    for trace in found:
        if trace.throttle_pct is not None and trace.pedal_pct is not None:
            flat = trace.pedal_pct >= 0.9 * float(np.max(trace.pedal_pct))
            most = quantile(trace.throttle_pct[flat], 0.95)
            each.append(Measured(most, _READ_PCT, trace.span(trace.begin, trace.last)))
    return largest(each, "the log does not have throttle and pedal both")


def _closing(trace: Trace) -> Closing:
    import numpy as np

    throttle, pedal = trace.throttle_pct, trace.pedal_pct
    assert throttle is not None
    flat = np.ones(throttle.size, bool)
    if pedal is not None:
        flat = pedal >= 0.9 * float(np.max(pedal))
    # The throttle takes a moment to follow the foot.
    opening = trace.at(float(trace.time_s[0]) + 0.4)
    flat[:opening] = False
    span = trace.span(trace.begin, trace.last)
    if not bool(flat.any()):
        why = "the pull is too short to tell"
        return Closing(missing(why), missing(why), missing(why))
    top = float(np.max(throttle[flat]))
    shut = flat & (throttle < CLOSING * max(top, PART_SHUT_PCT))
    first, last = _longest(shut)
    lasts = (last - first) * trace.step_s
    least = float(np.min(throttle[flat]))
    if lasts < max(_LEAST_S, 1.5 * trace.row_s):
        none = missing("the throttle did not close")
        steady = quantile(throttle[flat], 0.05)
        return Closing(Measured(0.0, 0.0, span), Measured(steady, _READ_PCT, span), none)
    shown = trace.span(first, last - 1)
    if top < PART_SHUT_PCT or first <= opening:
        never = missing("the throttle was part shut from the start")
        return Closing(Measured(1.0, 0.0, shown), Measured(least, _READ_PCT, shown), never)
    before = max(first - max(round(0.15 / trace.step_s), 1), 0)
    boost = float(np.max(trace.quick_kpa[before : first + 1]))
    slope = float(np.ptp(trace.quick_kpa[before : first + 1]))
    at = Measured(boost, slope + trace.noise_kpa, trace.span(before, first))
    return Closing(Measured(1.0, 0.0, shown), Measured(least, _READ_PCT, shown), at)


def _longest(marked: Marks) -> tuple[int, int]:
    """The longest run of marks, as its first step and the step after its last."""
    import numpy as np

    edges = np.diff(np.concatenate(([0], marked.astype(np.int8), [0])))
    starts, stops = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    if not starts.size:
        return 0, 0
    longest = int(np.argmax(stops - starts))
    return int(starts[longest]), int(stops[longest])
