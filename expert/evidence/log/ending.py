"""How a pull ends: where boost is then, whether it still rises or ever slowed, and how far over
its target it is."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.steady import cut
from expert.evidence.log.told import missing

# Boost is taken over the last of a pull: long enough that noise does not make it.
_LAST_S: Final = 0.4
# Means over 0.2 s reach so far into what follows a throttle that closes.
_SMEARED_S: Final = 0.1
# The rate at the end is taken over so much time, and the fastest over as much.
_RATE_S: Final = 0.4
_END_S: Final = 1.2
# A gate is open, or should be, from this share of the spring on.
_NEAR: Final = 0.8
# Boost that comes up by less has no rise to compare with.
_LEAST_KPA: Final = 10.0


class Ending(NamedTuple):
    """Boost at the end, its rate in per cent of its fastest rise, and boost over target.

    ``rises_pct`` is the rate at the end, ``slows_to_pct`` the slowest from near the spring on; it
    is next to 0 or less where a gate opens.
    ``over_target`` is known only where the throttle closed before the foot did.
    """

    kpa: Measured
    rises_pct: Measured
    slows_to_pct: Measured
    over_target: Measured


def ending_of(one: Seen, spring_kpa: float | None = None) -> Ending:
    """The last of a pull, up to the lift, the top of the revs, or the throttle that closes."""

    trace = one.trace
    last = max(trace.end - 1 - round(_SMEARED_S / trace.step_s), trace.begin + 1)
    first = max(last - max(round(_LAST_S / trace.step_s), 1), trace.begin)
    near = trace.level_kpa[first : last + 1]
    span = trace.span(first, last)
    doubt = Z95 * trace.noise_kpa / 2.0
    end = Measured(median(near), doubt, span)
    if _rising(near, doubt):
        end = Measured(float(near[-1]), doubt, span)
    rises, slows_to = _rates(one, last, spring_kpa)
    return Ending(end, rises, slows_to, _over_target(one, first, last, doubt))


def _rising(near: object, doubt: float) -> bool:
    import numpy as np

    steps = np.asarray(near)
    return bool(steps[-1] - steps[0] > 2.0 * doubt)


def _rates(one: Seen, last: int, spring_kpa: float | None) -> tuple[Measured, Measured]:
    """The rate at the end and the slowest from near the spring on, as shares of the fastest."""
    import numpy as np

    trace = one.trace
    wide = max(round(_RATE_S / trace.step_s), 1)
    level = trace.level_kpa[trace.begin : last + 1]
    if level.size < 2 * wide + 1:
        return (missing("the pull is too short to tell"),) * 2
    gained = level[wide:] - level[:-wide]
    most = float(np.max(gained))
    if float(np.max(level)) - float(level[0]) < _LEAST_KPA or most <= 0.0:
        return (missing("boost never came up"),) * 2
    doubt = 100.0 * Z95 * trace.noise_kpa / most
    # The longer the end that is looked at, the less noise counts.
    long = max(min(round(_END_S / trace.step_s), (level.size - 1) // 3), wide)
    share = wide / long
    rate = 100.0 * share * float(level[-1] - level[-1 - long]) / most
    at_end = Measured(rate, share * doubt, trace.span(last - long, last))
    # Where boost stays far under the spring, or the spring is not known, its own top stands for it.
    near = _NEAR * min(float(np.max(level)), spring_kpa or math.inf)
    past = np.flatnonzero(level[wide:] > near)
    first = int(past[0]) if past.size else gained.size - 1
    slowest = 100.0 * float(np.min(gained[first:])) / most
    return at_end, Measured(slowest, doubt, trace.span(trace.begin + first + wide, last))


def _over_target(one: Seen, first: int, last: int, doubt: float) -> Measured:
    """The most that boost was over its target just before the throttle closed."""
    import numpy as np

    trace = one.trace
    if trace.target_kpa is None:
        return missing("the log has no boost target")
    if not cut(one):
        return missing("the throttle did not close")
    over = (trace.level_kpa - trace.target_kpa)[first : last + 1]
    return Measured(float(np.max(over)), doubt, trace.span(first, last))
