"""What duty does for boost, from pull to pull, and whether it has anything left to give."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from expert.evidence.log.ranks import median, quantile
from expert.evidence.log.record import Measured, Span
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.steady import steady_of
from expert.evidence.log.told import missing

_NO_DUTY: Final = "the log has no duty"
# Pulls whose duties lie no further apart tell nothing of what duty does.
_APART_PCT: Final = 8.0
# At its stop: within this of the most, for this share of the time under target.
_AT_STOP_PCT: Final = 1.0
_MOSTLY: Final = 0.5
# The most that a duty may be is hardly set lower than this: assumed.
_LEAST_STOP_PCT: Final = 50.0
_UNDER_KPA: Final = 5.0
# A pull in which boost rose to its end must last so long to count.
_LONG_S: Final = 3.0
# The top of what two pulls share in rpm, over which they are compared.
_SHARED_RPM: Final = 400.0


def steady_duty(one: Seen) -> Measured:
    """The duty of a pull where its boost has settled; its spread is the uncertainty."""

    trace, plateau = one.trace, one.plateau
    if trace.duty_pct is None:
        return missing(_NO_DUTY)
    first, last = trace.begin + (trace.end - trace.begin) // 2, trace.end
    if plateau is not None:
        first, last = plateau.settled, plateau.until
    duty = trace.duty_pct[first:last]
    spread = (quantile(duty, 0.975) - quantile(duty, 0.025)) / 2.0
    return Measured(median(duty), spread, trace.span(first, last - 1))


def response(pulls: Sequence[Seen]) -> Measured:
    """By how much boost rises for 10 % of duty, between the pulls with the least and most duty.

    Where one of them did not settle, boost is compared at the same rpm, near the top of what both
    went through.
    """
    with_duty = [(one, steady_duty(one)) for one in pulls]
    known = sorted(
        ((duty.value, one) for one, duty in with_duty if duty.value is not None),
        key=lambda pair: pair[0],
    )
    if not known:
        return missing(_NO_DUTY)
    apart = known[-1][0] - known[0][0]
    if apart < _APART_PCT:
        return missing("all pulls were made at about the same duty")
    settled = [(duty, one, steady_of(one)) for duty, one in known]
    level = [(duty, one, boost) for duty, one, boost in settled if boost.value is not None]
    if len(level) >= 2 and level[-1][0] - level[0][0] >= _APART_PCT:
        return _between(level)
    return _at_same_rpm(known[0][1], known[-1][1])


def _between(level: Sequence[tuple[float, Seen, Measured]]) -> Measured:
    """The median of the slopes between pulls that are far enough apart in duty."""
    import numpy as np

    slopes, doubts = [], []
    for number, (low, _, least) in enumerate(level):
        for high, _, most in level[number + 1 :]:
            if high - low >= _APART_PCT and least.value is not None and most.value is not None:
                slopes.append(10.0 * (most.value - least.value) / (high - low))
                doubts.append(10.0 * math.hypot(least.uncertainty, most.uncertainty) / (high - low))
    found = float(np.median(slopes))
    spread = 1.4826 * float(np.median(np.abs(np.array(slopes) - found)))
    doubt = max(float(np.median(doubts)), Z95 * spread / math.sqrt(len(slopes)))
    return Measured(found, doubt, level[-1][2].span)


def _at_same_rpm(least: Seen, most: Seen) -> Measured:
    """What more duty did at the same rpm, near the top of what two pulls share."""
    import numpy as np

    one, other = least.trace, most.trace
    if one.rpm is None or other.rpm is None:
        return missing("the log has no rpm, and a pull ended before boost had settled")
    ends = [min(float(t.rpm[t.end - 1]), 1e9) for t in (one, other) if t.rpm is not None]
    begins = [float(t.rpm[t.begin]) for t in (one, other) if t.rpm is not None]
    high = min(ends)
    low = max(*begins, high - _SHARED_RPM)
    if high - low < _SHARED_RPM / 4.0:
        return missing("no two pulls at different duty went through the same rpm")
    at = np.linspace(low, high, 9)
    found = []
    for trace in (one, other):
        assert trace.rpm is not None and trace.duty_pct is not None
        steps = slice(trace.begin, trace.end)
        turns = np.maximum.accumulate(trace.rpm[steps])
        found.append(
            (
                np.interp(at, turns, trace.level_kpa[steps]),
                median(np.interp(at, turns, trace.duty_pct[steps])),
                float(np.interp(low, turns, trace.time_s[steps])),
                float(np.interp(high, turns, trace.time_s[steps])),
            )
        )
    apart = found[1][1] - found[0][1]
    if abs(apart) < _APART_PCT:
        return missing("all pulls were made at about the same duty")
    gains = 10.0 * (found[1][0] - found[0][0]) / apart
    doubt = Z95 * float(np.std(gains)) + 10.0 * Z95 * one.noise_kpa / abs(apart)
    return Measured(median(gains), doubt, Span(found[1][2], found[1][3]))


def most_duty(pulls: Sequence[Seen]) -> Measured:
    """The highest duty of the pulls that lasts a while."""

    found = [
        (quantile(trace.duty_pct[trace.begin : trace.end], 0.95), trace)
        for trace in (one.trace for one in pulls)
        if trace.duty_pct is not None
    ]
    if not found:
        return missing(_NO_DUTY if pulls else "no full-throttle pull was found")
    most, trace = max(found, key=lambda pair: pair[0])
    return Measured(most, 0.5, trace.span(trace.begin, trace.end - 1))


def at_stop(one: Seen, most_pct: float | None) -> Measured:
    """Whether duty stays at the most it ever has while boost is under its target: 1 or 0."""
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if trace.duty_pct is None or most_pct is None:
        return missing(_NO_DUTY)
    if trace.target_kpa is None:
        return missing("the log has no boost target")
    if most_pct < _LEAST_STOP_PCT:
        return Measured(0.0, 0.0, trace.span(trace.begin, trace.end - 1))
    if plateau is None and (trace.end - trace.begin) * trace.step_s < _LONG_S:
        return missing("boost was still rising when the pull ended")
    first = trace.begin + (trace.end - trace.begin) // 2
    if plateau is not None:
        first = min(first, plateau.settled)
    steps = slice(first, trace.end)
    under = trace.target_kpa[steps] - trace.level_kpa[steps] > _UNDER_KPA
    stopped = (trace.duty_pct[steps] >= most_pct - _AT_STOP_PCT) & under
    span = trace.span(first, trace.end - 1)
    return Measured(float(np.mean(stopped) >= _MOSTLY), 0.0, span)
