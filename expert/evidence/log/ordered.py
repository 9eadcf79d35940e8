"""Time stamps made into seconds that rise, and the rows that go with them.

Rows out of order are sorted, lines written twice are dropped, and stamps too coarse for their rows
are spread. A clock that starts anew is another log in the same file; it is put behind the first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from expert.evidence.log.ranks import finite, median, quantile
from expert.evidence.log.units import BY_NAME, Unit

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from expert.evidence.log.record import Floats

    Rows = NDArray[np.intp]

# Between two logs in one file there is so much.
BETWEEN_S: Final = 10.0
# From here on times are counted from the start: a clock, or seconds since some year.
_FAR_S: Final = 3_600.0
_MOST_JOINS: Final = 20
_FEWEST: Final = 3
# A gap is at least so many times the usual step, and so long.
_GAP_STEPS: Final = 8.0
_GAP_S: Final = 1.0
# No engine gains or loses speed more quickly, in rpm for each second; assumed.
_QUICKEST_RPM_S: Final = 40_000.0
# Steps of a log in seconds: from a thousand rows a second to one in five seconds.
_LEAST_STEP_S, _MOST_STEP_S = 0.000_9, 5.0


@dataclass(frozen=True)
class Ordered:
    """``time_s`` strictly rising, ``rows`` the row of the file for each, and what was done.

    ``why`` says what is wrong where there is no usable time; both arrays are then empty.
    """

    time_s: Floats
    rows: Rows
    notes: tuple[str, ...] = ()
    why: str = ""


def time_unit(stamps: Floats, rpm: Floats | None) -> tuple[Unit | None, str]:
    """The unit of time stamps whose column names none, or None, and the reason.

    A log has a few to a few hundred rows a second, and an engine changes speed only so quickly.
    """
    import numpy as np

    known = finite(stamps)
    steps = np.diff(known)
    steps = steps[steps > 0.0]
    if len(steps) < _FEWEST:
        return None, "too few of its time stamps rise"
    step = median(steps)
    fitting = []
    for name in ("s", "ms", "µs", "min", "h", "d"):
        unit = BY_NAME[name]
        if _LEAST_STEP_S <= unit.inside(step) <= _MOST_STEP_S:
            fitting.append(unit)
    if rpm is not None and len(fitting) > 1:
        fitting = [unit for unit in fitting if _quickest(stamps, rpm, unit) <= _QUICKEST_RPM_S]
    if len(fitting) > 1:
        # Hundredths and tenths of a second are usual; a row in many seconds or a thousand are not.
        usual = [unit for unit in fitting if 0.004 <= unit.inside(step) <= 1.0]
        fitting = usual or fitting
    if len(fitting) != 1:
        return None, f"a step of {step:g} in its time column fits no unit, or more than one"
    return fitting[0], f"{fitting[0].name}, since its steps are {step:g}"


def _quickest(stamps: Floats, rpm: Floats, unit: Unit) -> float:
    import numpy as np

    steps = unit.inside(np.diff(stamps))
    changes = np.abs(np.diff(rpm))
    good = (steps > 0.0) & np.isfinite(changes)
    if not good.any():
        return 0.0
    return quantile(changes[good] / steps[good], 0.99)


def ordered(stamps: Floats, unit: Unit) -> Ordered:
    """Time in seconds that rises strictly, of stamps in a unit."""
    import numpy as np

    known = np.isfinite(stamps)
    lost = len(stamps) - int(np.count_nonzero(known))
    rows = np.flatnonzero(known) if lost else np.arange(len(stamps))
    notes: list[str] = []
    if lost:
        notes.append(f"{_rows(lost)} without a time {_were(lost)} left out.")
    time = unit.inside(stamps[rows] if lost else stamps)
    if len(time) < _FEWEST:
        return _none("there are hardly any rows with a time")
    steps = np.diff(time)
    if float(steps.min()) > 0.0 and abs(float(time[0])) <= _FAR_S:
        return Ordered(time, rows, (*notes, *_gaps(time, steps)))
    time, joins = _joined(time, steps)
    if joins:
        notes.append(joins)
    back = int(np.count_nonzero((np.diff(time) if joins else steps) < 0.0))
    if back:
        order = np.argsort(time, kind="stable")
        time, rows = time[order], rows[order]
        notes.append(f"Rows were not in the order of their times ({back} steps back); sorted.")
    if abs(float(time[0])) > _FAR_S:
        notes.append(f"Times are counted from the first row, which has {_clock(float(time[0]))}.")
        time = time - time[0]
    time, rows, note = _apart(time, rows)
    notes += note
    if len(time) < _FEWEST:
        return _none("nearly all rows have the same time")
    return Ordered(time, rows, (*notes, *_gaps(time, np.diff(time))))


def _none(why: str) -> Ordered:
    import numpy as np

    return Ordered(np.zeros(0), np.zeros(0, dtype=np.intp), (), why)


def _joined(time: Floats, steps: Floats) -> tuple[Floats, str]:
    """Times of several logs in one file put one behind the other, and the note of it.

    It is a new log where time falls back into what was there before and then rises for a while.
    Rows that are merely out of order fall back by little, and many times.
    """
    import numpy as np

    rising = steps[steps > 0.0]
    if len(rising) == 0:
        return time, ""
    usual = median(rising)
    falls = np.flatnonzero(steps < -max(50.0 * usual, 1.0))
    small = int(np.count_nonzero(steps < 0.0)) - len(falls)
    if not 0 < len(falls) <= _MOST_JOINS or small > len(falls):
        return time, ""
    ends = [0, *(int(fall) + 1 for fall in falls), len(time)]
    parts = [time[a:b] for a, b in pairwise(ends)]
    if any(len(part) < 20 for part in parts) or not _overlapping(parts):
        return time, ""
    result = [parts[0]]
    for part in parts[1:]:
        result.append(part - part.min() + result[-1].max() + BETWEEN_S)
    starts = ", ".join(f"{part.min():.1f} s" for part in result[1:])
    again = "once" if len(falls) == 1 else f"{len(falls)} times"
    return np.concatenate(result), (
        f"The clock starts anew {again}: the file holds several logs. They were put one behind the "
        f"other, {BETWEEN_S:.0f} s apart, so later ones begin at {starts}."
    )


def _overlapping(parts: list[Floats]) -> bool:
    spans = sorted((float(part.min()), float(part.max())) for part in parts)
    return any(after[0] < before[1] for before, after in pairwise(spans))


def _apart(time: Floats, rows: Rows) -> tuple[Floats, Rows, list[str]]:
    """Equal stamps dropped where a line is there twice, spread where the clock is coarse."""
    import numpy as np

    first = np.concatenate(([True], np.diff(time) > 0.0))
    repeats = int(len(time) - first.sum())
    if repeats == 0:
        return time, rows, []
    starts = np.flatnonzero(first)
    lengths = np.diff(np.concatenate((starts, [len(time)])))
    if float(np.median(lengths)) < 2.0 or len(starts) < _FEWEST:
        note = f"{_rows(repeats)} with the time of the row before {_were(repeats)} left out."
        return time[first], rows[first], [note]
    steps = np.diff(time[starts])
    widths = np.concatenate((steps, [np.median(steps)]))
    # A stamp stands for no longer than usual, so that a gap stays a gap.
    widths = np.minimum(widths, 2.0 * np.median(steps))
    place = np.arange(len(time)) - np.repeat(starts, lengths)
    spread = time + place * np.repeat(widths / lengths, lengths)
    # A step too fine for the numbers leaves two rows at one time; the later one goes.
    rising = np.concatenate(([True], np.diff(spread) > 0.0))
    note = "Several rows share each time stamp; they were spread evenly between."
    return spread[rising], rows[rising], [note]


def _gaps(time: Floats, steps: Floats) -> list[str]:
    import numpy as np

    long = steps > max(_GAP_STEPS * median(steps), _GAP_S)
    count = int(long.sum())
    if count == 0:
        return []
    longest = int(np.argmax(steps))
    gaps = "There is a gap" if count == 1 else f"There are {count} gaps, the longest"
    return [f"{gaps} of {steps[longest]:.1f} s after {time[longest]:.1f} s."]


def _clock(seconds: float) -> str:
    if 0.0 <= seconds < 2.0 * 86_400.0:
        minutes, rest = divmod(seconds, 60.0)
        return f"{int(minutes) // 60:02d}:{int(minutes) % 60:02d}:{rest:06.3f}"
    return f"{seconds:.0f} s"


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _were(count: int) -> str:
    return "was" if count == 1 else "were"
