"""What boost does with rising revs: creeps up at one duty, or falls away."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.evidence.log.plateau import swings
from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95, theil_sen
from expert.evidence.log.smooth import boxed
from expert.evidence.log.told import missing

_RISING: Final = "boost was still rising when the pull ended"
# Duty that moves by no more than this counts as one duty.
SAME_DUTY_PCT: Final = 3.0
# A pull must go on for so long after boost has settled, through so much rpm.
_LEAST_S: Final = 1.5
_LEAST_RPM: Final = 700.0
# Less boost than this has not come up at all.
_LEAST_KPA: Final = 25.0
# Swings are left out of a course by means over this time.
_COURSE_S: Final = 0.8
# A controller that takes so much duty away wants less boost.
_TAKEN_PCT: Final = 6.0


class Creep(NamedTuple):
    """The slope of boost over rpm, and by how much boost rose from where it settled."""

    kpa_per_1000rpm: Measured
    kpa: Measured


def creep_of(one: Seen) -> Creep:
    """The rise of boost with the revs in a pull at one duty.

    The slope is Theil's and Sen's with its interval, over all that follows the settling; the rise
    is from where boost settled to the end, for boost may creep only near the top.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    why = _RISING if plateau is None else _too_short(one)
    if why or plateau is None or trace.rpm is None:
        return Creep(missing(why), missing(why))
    if not trace.pull.lowest:
        if trace.duty_pct is None:
            why = "the log has no duty, so it does not tell whether duty moved"
            return Creep(missing(why), missing(why))
        duty = trace.duty_pct[plateau.settled : plateau.end]
        if float(np.ptp(duty)) > SAME_DUTY_PCT:
            why = "duty moved; a pull at one duty shows it"
            return Creep(missing(why), missing(why))
    steps = slice(plateau.settled, plateau.end)
    span = trace.span(plateau.settled, plateau.end - 1)
    line = theil_sen(trace.rpm[steps], trace.level_kpa[steps])
    if line is None:
        return Creep(missing("rpm did not rise"), missing("rpm did not rise"))
    count = plateau.end - plateau.settled
    dependent = math.sqrt(count / trace.independent(plateau.settled, plateau.end))
    slope = 1000.0 * line.slope
    doubt = 500.0 * (line.high - line.low) * max(dependent, 1.0)
    start, spread = _start(one)
    last = max(round(0.4 / trace.step_s), 2)
    end = median(trace.level_kpa[plateau.end - last : plateau.end])
    rise = Measured(end - start, math.hypot(spread, Z95 * trace.noise_kpa / 2.0), span)
    return Creep(Measured(slope, doubt, span), rise)


def _start(one: Seen) -> tuple[float, float]:
    """Boost over the first second or so after it has settled, and its uncertainty."""
    from expert.evidence.log.slopes import middle

    trace, plateau = one.trace, one.plateau
    assert plateau is not None
    near = min(plateau.settled + max(round(1.0 / trace.step_s), 3), plateau.end)
    return middle(trace.level_kpa[plateau.settled : near], trace.independent(plateau.settled, near))


def _too_short(one: Seen) -> str:
    """Why nothing can be said of the course over rpm; empty where it can."""
    trace, plateau = one.trace, one.plateau
    assert plateau is not None
    if trace.rpm is None:
        return "the log has no rpm"
    if plateau.rate_kpa_s == 0.0 and plateau.level_kpa < _LEAST_KPA:
        return "boost never came up"
    lasts = (plateau.end - plateau.settled) * trace.step_s
    gained = float(trace.rpm[plateau.end - 1] - trace.rpm[plateau.settled])
    if lasts < _LEAST_S or gained < _LEAST_RPM:
        return "the pull ended soon after boost had come up; go to higher rpm"
    return ""


def fall_of(one: Seen) -> Measured:
    """By how much boost sags towards high rpm, from its best after any overshoot to the end.

    What is above the target does not count, and a target that falls is taken off. A fall that the
    controller made by taking duty away is none.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    why = _RISING if plateau is None else _too_short(one)
    if plateau is None or why:
        return missing(why)
    if swings(trace.level_kpa[plateau.settled : plateau.end]):
        return missing("boost swings, so its course is not clear")
    steps = slice(plateau.settled, plateau.end)
    time = trace.time_s[steps]
    course = boxed(time, trace.level_kpa[steps], time, _COURSE_S)
    if trace.target_kpa is not None:
        target = trace.target_kpa[steps]
        course = np.minimum(course, target) + np.maximum(np.max(target) - target, 0.0)
    best = int(np.argmax(course))
    last = max(round(0.4 / trace.step_s), 2)
    end = median(course[-last:])
    span = trace.span(plateau.settled + best, plateau.end - 1)
    if trace.duty_pct is not None:
        duty = trace.duty_pct[steps]
        if float(duty[best]) - median(duty[-last:]) > _TAKEN_PCT:
            return missing("the controller took duty away as boost fell")
    wide = max(trace.independent(plateau.settled, plateau.end), 1.0)
    doubt = Z95 * trace.noise_kpa * math.sqrt(2.0 / min(wide, 4.0))
    return Measured(max(float(course[best]) - end, 0.0), doubt, span)
