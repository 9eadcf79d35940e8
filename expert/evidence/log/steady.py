"""How much boost a pull makes, and from which rpm on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.evidence.log.record import Measured, Recording, Span
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.smooth import noise
from expert.evidence.log.told import largest, missing, surest

# Onset is the rpm at which boost first reaches this share of steady boost.
ONSET: Final = 0.8
# A pull that was so long and went through so much rpm is a whole one.
_WHOLE_S: Final = 4.0
_WHOLE_RPM: Final = 1_800.0
_LEAST_STEADY_KPA: Final = 5.0


def peak_boost(recording: Recording) -> Measured:
    """The highest boost of the whole recording that a second row bears out."""
    import numpy as np

    boost = recording.values["boost"]
    rows = np.flatnonzero(np.isfinite(boost))
    if rows.size < 3:
        return missing("fewer than three rows have boost")
    known = boost[rows]
    borne_out = np.minimum(known[1:-1], np.maximum(known[:-2], known[2:]))
    top = int(np.argmax(borne_out)) + 1
    near = known[max(top - 50, 0) : top + 50]
    value = float(borne_out[top - 1])
    doubt = max(Z95 * noise(near), float(known[top]) - value)
    at = [float(recording.time_s[rows[row]]) for row in (top - 1, top + 1)]
    return Measured(value, min(doubt, 20.0), Span(at[0], at[1]))


def steady_of(one: Seen) -> Measured:
    """Where boost settles in a pull.

    A whole pull in which boost rises to the end is worth what it made there. One that ended while
    boost was still rising tells nothing.
    """
    trace, plateau = one.trace, one.plateau
    if plateau is not None:
        span = trace.span(plateau.settled, plateau.until - 1)
        return Measured(plateau.level_kpa, plateau.uncertainty_kpa, span)
    first, last = trace.begin, trace.end - 1
    lasts = (last - first) * trace.step_s
    gained = _WHOLE_RPM
    if trace.rpm is not None:
        gained = float(trace.rpm[last] - trace.rpm[first])
    if lasts >= _WHOLE_S and gained >= _WHOLE_RPM and not cut(one):
        late = first + round(0.8 * (last - first))
        value = float(trace.level_kpa[last])
        return Measured(value, abs(value - float(trace.level_kpa[late])), trace.span(late, last))
    return missing("boost was still rising when the pull ended")


def cut(one: Seen) -> bool:
    """Did the throttle or the foot end the pull while rpm was still rising freely?"""
    trace = one.trace
    return (
        trace.throttle_pct is not None
        and trace.end <= trace.last
        and (
            float(trace.throttle_pct[min(trace.end, trace.last)])
            < 0.8 * float(trace.throttle_pct[trace.begin])
        )
    )


def lowest_boost(pulls: Sequence[Seen], spring_kpa: float | None, margin_kpa: float) -> Measured:
    """Boost of the pulls at the lowest setting.

    One that ran past the spring by more than the margin while boost was still rising counts with
    the boost it got to: the true value is that or more.
    """
    import numpy as np

    found, ran_past = [], []
    for one in pulls:
        if not one.trace.pull.lowest:
            continue
        level = steady_of(one)
        if level.value is None and spring_kpa is not None:
            trace = one.trace
            top = int(np.argmax(trace.quick_kpa))
            most = float(trace.quick_kpa[top])
            if most > spring_kpa + margin_kpa:
                doubt = Z95 * trace.noise_kpa
                ran_past.append(Measured(most, doubt, trace.span(top - 3, top)))
        found.append(level)
    if ran_past:
        return largest(ran_past)
    return surest(found, "no pull was made at the lowest setting")


def onset_rpm(one: Seen) -> Measured:
    """The rpm at which boost first reaches 80 % of where it settles."""
    trace, plateau = one.trace, one.plateau
    if trace.rpm is None:
        return missing("the log has no rpm")
    level = steady_of(one)
    if level.value is None:
        return level
    if level.value < _LEAST_STEADY_KPA:
        return missing("the car makes too little boost to say when it comes")
    until = plateau.knee if plateau is not None else trace.end - 1
    return _reaches(one, ONSET * level.value, ONSET * level.uncertainty, until)


def reaches_rpm(one: Seen, wanted_kpa: float) -> Measured:
    """The rpm at which boost first reaches a level."""
    if one.trace.rpm is None:
        return missing("the log has no rpm")
    return _reaches(one, wanted_kpa, 0.0, one.trace.end - 1)


def _reaches(one: Seen, wanted: float, doubt_kpa: float, until: int) -> Measured:
    import numpy as np

    trace = one.trace
    assert trace.rpm is not None
    reached = np.flatnonzero(trace.level_kpa[trace.begin : trace.end] >= wanted)
    if not reached.size:
        return missing("boost was still rising when the pull ended")
    if reached[0] == 0:
        return missing("boost was there when the pull began; begin it at lower rpm")
    step = trace.begin + int(reached[0])
    before, after = float(trace.level_kpa[step - 1]), float(trace.level_kpa[step])
    share = (wanted - before) / max(after - before, 1e-9)
    slow, fast = float(trace.rpm[step - 1]), float(trace.rpm[step])
    rpm = slow + share * (fast - slow)
    near = slice(max(step - 4, trace.begin), min(step + 4, trace.end))
    rise = float(trace.level_kpa[near][-1] - trace.level_kpa[near][0])
    turns = float(trace.rpm[near][-1] - trace.rpm[near][0])
    doubt_kpa += Z95 * trace.noise_kpa / 2.0
    doubt = abs(turns) * min(doubt_kpa / max(rise, 1e-9), 1.0) + abs(fast - slow) / 2.0
    return Measured(rpm, doubt, trace.span(trace.begin, until))
