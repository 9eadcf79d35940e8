"""How far boost shoots past the level at which it settles, and how long that takes."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95, theil_sen
from expert.evidence.log.told import missing
from expert.evidence.log.trace import QUICK_S, Trace

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

_RISING: Final = "boost was still rising when the pull ended"
# Boost is settled within this share of its level, as for the step response of textbooks.
SETTLED: Final = 0.02
# The share of the plateau that is left out before the line through the rest is drawn.
_LEFT_OUT: Final = 0.35
_SHORT_S: Final = 1.5
_LEAST_LEVEL_KPA: Final = 10.0


class Overshoot(NamedTuple):
    """The peak over the level in kPa and in per cent of it, and the time until boost settles."""

    kpa: Measured
    pct: Measured
    settling_s: Measured


def overshoot_of(one: Seen) -> Overshoot:
    """The first excursion of a pull over what it settles to.

    The level is that of a robust line through what follows, so that boost which falls or rises
    with the revs is not taken for an overshoot; an excursion that does not come back is none.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if plateau is None:
        return Overshoot(*(missing(_RISING),) * 3)
    if plateau.level_kpa < _LEAST_LEVEL_KPA:
        return Overshoot(*(missing("the car makes too little boost to overshoot"),) * 3)
    level = _level(one)
    end = plateau.end
    quick = trace.quick_kpa
    over = quick[:end] - level[:end]
    start = 0 if plateau.rate_kpa_s == 0.0 else trace.begin
    above = np.flatnonzero(over[start:] > 0.0)
    if not above.size:
        return _none(one, level)
    crossed = start + int(above[0])
    back = np.flatnonzero(over[max(crossed, plateau.knee) :] <= 0.0)
    if not back.size:
        return _none(one, level)
    returned = max(crossed, plateau.knee) + int(back[0])
    peak = crossed + int(np.argmax(over[crossed : returned + 1]))
    # Means over twice the time lower a sharp peak four times as much.
    blunted = max(float(quick[peak] - trace.level_kpa[peak]), 0.0)
    doubt = float(np.hypot(plateau.uncertainty_kpa, Z95 * _calmed(trace))) + blunted
    # The highest of several noisy values is too high by about one standard deviation.
    kpa = max(float(over[peak]) - _calmed(trace), 0.0)
    at = float(level[peak])
    span = trace.span(crossed, max(returned, peak + 1))
    at = max(at, _LEAST_LEVEL_KPA)
    share = Measured(100.0 * kpa / at, 100.0 * doubt * (1.0 + kpa / at) / at, span)
    return Overshoot(Measured(kpa, doubt, span), share, _settling(one, level, crossed, at))


def _calmed(trace: Trace) -> float:
    """The noise that is left on ``quick_kpa``."""
    return trace.noise_kpa * math.sqrt(min(trace.row_s / QUICK_S, 1.0))


def _none(one: Seen, level: Floats) -> Overshoot:
    """No overshoot: zero, as sure as the noise lets one be."""
    trace, plateau = one.trace, one.plateau
    assert plateau is not None
    span = trace.span(plateau.knee, plateau.until - 1)
    doubt = plateau.uncertainty_kpa + trace.noise_kpa
    share = 100.0 * doubt / max(float(level[plateau.knee]), _LEAST_LEVEL_KPA)
    return Overshoot(
        Measured(0.0, doubt, span),
        Measured(0.0, share, span),
        Measured(0.0, trace.step_s, span),
    )


def _level(one: Seen) -> Floats:
    """What boost settles to, a value a step.

    A line where boost falls or stays, extended back; where it rises, the level soon after.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    assert plateau is not None
    flat = np.full(trace.time_s.shape, plateau.level_kpa)
    first = plateau.knee + max(
        round(_LEFT_OUT * (plateau.end - plateau.knee)), plateau.settled - plateau.knee
    )
    if (plateau.end - first) * trace.step_s < _SHORT_S:
        return flat
    line = theil_sen(trace.time_s[first : plateau.end], trace.level_kpa[first : plateau.end])
    if line is None:
        return flat
    drawn = line.intercept + line.slope * trace.time_s
    if line.low <= 0.0 <= line.high:
        drawn = np.full(trace.time_s.shape, median(trace.level_kpa[first : plateau.end]))
    return np.maximum(drawn, flat) if plateau.until < plateau.end else drawn


def _settling(one: Seen, level: Floats, crossed: int, at: float) -> Measured:
    """Time from first reaching the level until boost stays near it."""
    import numpy as np

    trace, plateau = one.trace, one.plateau
    assert plateau is not None
    band = max(SETTLED * at, Z95 * trace.noise_kpa)
    apart = np.abs(trace.level_kpa[crossed : plateau.end] - level[crossed : plateau.end])
    outside = np.flatnonzero(apart > band)
    if not outside.size:
        return Measured(0.0, trace.step_s, trace.span(crossed, max(crossed, plateau.until - 1)))
    last = crossed + int(outside[-1]) + 1
    left = (plateau.end - last) * trace.step_s
    if left < 0.3:
        return missing("boost had not settled when the pull ended")
    seconds = (last - crossed) * trace.step_s
    doubt = max(2.0 * trace.step_s, 0.1 * seconds)
    return Measured(seconds, doubt, trace.span(crossed, last))
