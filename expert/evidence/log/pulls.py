"""Where a recording has the pedal flat and the engine pulling."""

from __future__ import annotations

import math
from typing import Final

from expert.evidence.log.ranks import median
from expert.evidence.log.record import Pull, Recording, Span
from expert.evidence.log.smooth import held

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from expert.evidence.log.record import Floats

    Rows = NDArray[np.intp]
    Marks = NDArray[np.bool_]

# A pedal is flat from this share of the most it ever shows, and no longer below the second one.
FLAT: Final = 0.9
NO_LONGER_FLAT: Final = 0.8
# A pedal or throttle that never gets so far was never flat.
LEAST_TOP_PCT: Final = 70.0
RUNNING_RPM: Final = 600.0
# Rpm that falls to this share within this time is a change of gear.
_SHIFT: Final = 0.92
_SHIFT_S: Final = 0.4
_CHUNK_ROWS: Final = 32
# The least that counts as a pull: so long, and rpm rising by so much or held for so long.
_LEAST_S: Final = 1.0
_LEAST_ROWS: Final = 4
_LEAST_RISE_RPM: Final = 200.0
_HELD_S: Final = 3.0
# Without pedal and throttle: boost above this, and rpm rising by so much in a second.
_NO_VACUUM_KPA: Final = -8.0
_RISING_RPM_S: Final = 60.0
# Up to this duty a solenoid is as good as at rest, in all but this share of the rows.
LOWEST_DUTY_PCT: Final = 3.0
_ROWS_ABOVE: Final = 0.02
# Gear ratios of one car lie further apart than this.
_RATIO_STEP: Final = 1.08


def find(recording: Recording, has_duty: bool) -> tuple[Pull, ...]:
    """The full-throttle pulls, in time.

    With a pedal a throttle that closes by itself belongs to the pull. Without pedal and throttle
    rising rpm and boost tell, and the pulls are marked as inferred. ``has_duty`` says whether the
    car has a solenoid; without one every pull is at its only setting.
    """
    import numpy as np

    time = recording.time_s
    boost = recording.values.get("boost")
    if boost is None or time.size < _LEAST_ROWS:
        return ()
    marked, inferred = _wide(recording)
    rpm = recording.values.get("rpm")
    turns = held(rpm) if rpm is not None and bool(np.isfinite(rpm).any()) else None
    if turns is not None:
        marked = marked & ~(turns < RUNNING_RPM)
    starts, stops = _runs(marked & ~_broken(recording, marked, turns))
    starts, stops = _long_enough(time, turns, starts, stops)
    return _pulls(recording, starts, stops, inferred, has_duty)


def _wide(recording: Recording) -> tuple[Marks, bool]:
    """Rows with the pedal flat, and whether that had to be inferred."""
    import numpy as np

    for name in ("pedal", "throttle"):
        opened = recording.values.get(name)
        if opened is None or not bool(np.isfinite(opened).any()):
            continue
        top = min(float(np.fmax.reduce(opened)), 100.0)
        if top < LEAST_TOP_PCT:
            if name == "pedal" and "throttle" in recording.values:
                continue
            return np.zeros(opened.shape, bool), False
        filled = held(opened)
        return _latched(filled >= FLAT * top, filled >= NO_LONGER_FLAT * top), False
    return _pulling(recording), True


def _latched(begins: Marks, stays: Marks) -> Marks:
    """Runs of ``stays`` from their first row of ``begins`` on."""
    import numpy as np

    starts, stops = _runs(stays)
    began = np.flatnonzero(begins)
    if not began.size:
        return np.zeros(stays.size, bool)
    first = began[np.minimum(np.searchsorted(began, starts), began.size - 1)]
    good = (first >= starts) & (first < stops)
    return _marked(stays.size, first[good], stops[good])


def _marked(size: int, starts: Rows, stops: Rows) -> Marks:
    """Runs of rows as marks; the other way round it is `_runs`."""
    import numpy as np

    edges = np.zeros(size + 1, np.int8)
    edges[starts] += 1
    edges[stops] -= 1
    marks: Marks = np.cumsum(edges[:-1], dtype=np.int8).view(bool)
    return marks


def _pulling(recording: Recording) -> Marks:
    """Rows that look like full throttle without a channel that says so."""
    import numpy as np

    time = recording.time_s
    boost, rpm = recording.values["boost"], recording.values.get("rpm")
    marks: Marks = held(boost) > _NO_VACUUM_KPA
    if rpm is None:
        return marks & (held(boost) > -_NO_VACUUM_KPA)
    turns = held(rpm)
    before = np.searchsorted(time, time - 0.5)
    after = np.minimum(np.searchsorted(time, time + 0.5), time.size - 1)
    across = np.maximum(time[after] - time[before], 1e-9)
    return marks & ((turns[after] - turns[before]) / across > _RISING_RPM_S)


def _broken(recording: Recording, marked: Marks, turns: Floats | None) -> Marks:
    """Rows at which a run ends although the pedal stays: gaps, changes of gear."""
    import numpy as np

    time = recording.time_s
    broken = np.zeros(time.size, bool)
    steps = np.diff(time)
    broken[1:] |= steps > max(1.0, 5.0 * median(steps))
    gear = recording.values.get("gear")
    if gear is not None:
        broken[_shifts(gear)] = True
    if turns is not None:
        rows = np.flatnonzero(marked & _may_drop(time, turns))
        before = np.searchsorted(time, time[rows] - _SHIFT_S)
        dropped = rows[turns[rows] < _SHIFT * turns[before]]
        broken[dropped] = True
    return broken


def _may_drop(time: Floats, turns: Floats) -> Marks:
    """Rows in which rpm may have dropped as in a shift; only these need a closer look.

    Rows come in chunks that last longer than a shift, so what was before is at most the most of a
    chunk and of the one before it.
    """
    import numpy as np

    chunk = _CHUNK_ROWS
    whole = time.size // chunk
    if whole < 2 or float((time[chunk:] - time[:-chunk]).min()) <= _SHIFT_S:
        return np.ones(time.size, bool)
    most = np.fmax.reduceat(turns, np.arange(0, time.size, chunk))
    most[1:] = np.fmax(most[1:], most[:-1])
    marks: Marks = turns < np.repeat(_SHIFT * most, chunk)[: time.size]
    return marks


def _shifts(gear: Floats) -> Rows:
    """Rows from which on another gear is engaged than before."""
    import numpy as np

    begins = np.flatnonzero(np.concatenate(([True], gear[1:] != gear[:-1])))
    each = gear[begins]
    engaged = held(np.where(each >= 1.0, np.round(each), np.nan))
    return begins[1:][np.abs(np.diff(engaged)) > 0.0]


def _runs(marked: Marks) -> tuple[Rows, Rows]:
    """First rows of the runs, and the rows after their last."""
    import numpy as np

    padded = np.concatenate(([False], marked, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return edges[::2], edges[1::2]


def _long_enough(
    time: Floats, turns: Floats | None, starts: Rows, stops: Rows
) -> tuple[Rows, Rows]:
    import numpy as np

    if starts.size == 0:
        return starts, stops
    lasts = time[stops - 1] - time[starts]
    good = (lasts >= _LEAST_S) & (stops - starts >= _LEAST_ROWS)
    if turns is not None:
        most = _each(np.fmax, turns, starts, stops)
        rise = most - turns[starts]
        good &= (rise >= _LEAST_RISE_RPM) | (lasts >= _HELD_S)
    return starts[good], stops[good]


def _each(ufunc: np.ufunc, values: Floats, starts: Rows, stops: Rows) -> Floats:
    """A function over each run of rows, at once."""
    import numpy as np

    edges = np.column_stack((starts, stops)).ravel()
    if edges[-1] == values.size:
        edges = edges[:-1]
    reduced: Floats = ufunc.reduceat(values, edges)[::2]
    return reduced


def _pulls(
    recording: Recording, starts: Rows, stops: Rows, inferred: bool, has_duty: bool
) -> tuple[Pull, ...]:
    import numpy as np

    if starts.size == 0:
        return ()
    time, values = recording.time_s, recording.values
    count = (stops - starts).astype(float)
    duties: Floats = np.full(starts.size, np.nan)
    lowest = np.full(starts.size, not has_duty)
    duty = values.get("duty")
    if has_duty and duty is not None and bool(np.isfinite(duty).any()):
        driven = held(duty)
        duties = _each(np.add, driven, starts, stops) / count
        above = (~(driven <= LOWEST_DUTY_PCT)).astype(float)
        lowest = _each(np.add, above, starts, stops) <= _ROWS_ABOVE * count
    gears = _middle_of(values.get("gear"), starts, stops)
    ratios = _ratios(values.get("rpm"), values.get("speed"), starts, stops)
    # Plain numbers, since those of numpy are slow one by one.
    columns = (starts, stops, time[starts], time[stops - 1], gears, duties, lowest, ratios)
    return tuple(
        Pull(
            start,
            stop,
            Span(begins_s, ends_s),
            round(gear) if gear >= 1.0 else None,
            None if math.isnan(share) else share,
            low,
            inferred,
            None if math.isnan(ratio) else ratio,
        )
        for start, stop, begins_s, ends_s, gear, share, low, ratio in zip(
            *(column.tolist() for column in columns), strict=True
        )
    )


def _middle_of(values: Floats | None, starts: Rows, stops: Rows) -> Floats:
    """The value in the middle of each run, NaN without the channel."""
    import numpy as np

    if values is None:
        return np.full(starts.size, np.nan)
    middle: Floats = held(values)[(starts + stops) // 2]
    return middle


def _ratios(rpm: Floats | None, speed: Floats | None, starts: Rows, stops: Rows) -> Floats:
    """Rpm for a km/h in the middle of each run, alike for runs in the same gear."""
    import numpy as np

    turns, road = _middle_of(rpm, starts, stops), _middle_of(speed, starts, stops)
    found = np.where(road > 5.0, turns / np.where(road > 5.0, road, 1.0), np.nan)
    order = np.argsort(found)
    ordered = found[order]
    known = int(np.isfinite(ordered).sum())
    begin = 0
    for row in range(1, known + 1):
        if row == known or ordered[row] > _RATIO_STEP * ordered[row - 1]:
            ordered[begin:row] = np.median(ordered[begin:row])
            begin = row
    found[order] = ordered
    return found
