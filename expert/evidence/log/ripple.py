"""Quick ripples of boost: surge at full throttle, flutter after a lift."""

from __future__ import annotations

from typing import Final

from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured, Recording, Span
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.smooth import boxed, held
from expert.evidence.log.told import missing

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Rows further apart than this cannot show ripples, nor can slower ones be told from a swing.
_SLOWEST_ROWS_S: Final = 0.11
_SLOWEST_S: Final = 0.5
# A ripple turns at least so often, each time by more than this much or than noise does.
_TURNS: Final = 4
_LEAST_KPA: Final = 2.0
_NOISES: Final = 5.0
_AFTER_S: Final = 1.5
_LEAST_ROWS: Final = 8
# Means over this time take noise off a log with many rows a second.
_CALMED_S: Final = 0.05
_OPENS_PCT: Final = 8.0
_SLOW: Final = "the log has too few rows a second to show ripples"


def surge_of(one: Seen) -> Measured:
    """The height of quick ripples of boost at full throttle, from top to bottom; 0 without any."""
    trace = one.trace
    if trace.row_s > _SLOWEST_ROWS_S:
        return missing(_SLOW)
    first, last = float(trace.time_s[trace.begin]), float(trace.time_s[trace.end - 1])
    rows = (trace.logged_s >= first) & (trace.logged_s <= last)
    time, boost = trace.logged_s[rows], trace.boost_kpa[rows]
    if time.size < _LEAST_ROWS:
        return missing("the pull is too short to show ripples")
    return ripple(time, boost, trace.noise_kpa)


def flutter_after(recording: Recording, one: Seen) -> Measured:
    """The height of quick ripples of boost in the 1.5 s after a pull; 0 without any.

    The time ends where the throttle opens again.
    """
    import numpy as np

    trace = one.trace
    if trace.row_s > _SLOWEST_ROWS_S:
        return missing(_SLOW)
    begins = trace.pull.span.to_s
    first, last = np.searchsorted(recording.time_s, (begins, begins + _AFTER_S))
    last = first + _shut_rows(recording, int(first), int(last))
    time, boost = recording.time_s[first:last], recording.values["boost"][first:last]
    known = np.isfinite(boost)
    if int(known.sum()) < _LEAST_ROWS:
        return missing("the log ends with the pull")
    return ripple(time[known], boost[known], trace.noise_kpa)


def _shut_rows(recording: Recording, first: int, last: int) -> int:
    """How many of the rows have gone by when the throttle, or the pedal, opens again."""
    import numpy as np

    for name in ("throttle", "pedal"):
        opened = recording.values.get(name)
        if opened is None or last <= first or not np.isfinite(opened[first:last]).any():
            continue
        rows = held(opened[first:last])
        lowest = np.fmin.accumulate(rows)
        again = np.flatnonzero(rows > lowest + _OPENS_PCT)
        return int(again[0]) if again.size else last - first
    return last - first


def ripple(time: Floats, boost: Floats, noise_kpa: float) -> Measured:
    """The median height of at least four turns in a row, none further than 0.5 s from the last."""
    import numpy as np

    if time[-1] - time[0] < _CALMED_S:
        return missing("the pull is too short to show ripples")
    if float(time[-1] - time[0]) / (time.size - 1) < _CALMED_S / 1.5:
        boost = boxed(time, boost, time, _CALMED_S)
    least = max(_LEAST_KPA, _NOISES * noise_kpa)
    turns = turning_rows(boost, least)
    best: tuple[float, int, int] | None = None
    begin = 0
    for number in range(1, len(turns) + 1):
        if number < len(turns) and time[turns[number]] - time[turns[number - 1]] <= _SLOWEST_S / 2:
            continue
        if number - begin >= _TURNS:
            heights = np.abs(np.diff(boost[turns[begin:number]]))
            height = median(heights)
            if best is None or height > best[0]:
                best = height, turns[begin], turns[number - 1]
        begin = number
    doubt = Z95 * noise_kpa
    if best is None:
        return Measured(0.0, max(least, doubt), Span(float(time[0]), float(time[-1])))
    return Measured(best[0], doubt, Span(float(time[best[1]]), float(time[best[2]])))


def turning_rows(values: Floats, least: float) -> list[int]:
    """The rows at which values turn, going up or down by more than the least each time."""
    turns: list[int] = []
    way, extreme = 0, 0
    for row, value in enumerate(values.tolist()):
        top = float(values[extreme])
        if way >= 0 and value < top - least:
            turns += [extreme] if way else []
            way, extreme = -1, row
        elif way <= 0 and value > top + least:
            turns += [extreme] if way else []
            way, extreme = 1, row
        elif (way >= 0 and value > top) or (way < 0 and value < top):
            extreme = row
    return turns
