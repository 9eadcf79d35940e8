"""What boost reads with the engine off and at idle."""

from __future__ import annotations

from typing import Final

from expert.evidence.log.ranks import finite, median
from expert.evidence.log.record import Measured, Recording, Span
from expert.evidence.log.slopes import Z95
from expert.evidence.log.smooth import held
from expert.evidence.log.told import missing

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Marks = NDArray[np.bool_]

_OFF_RPM: Final = 50.0
_IDLE_RPM: Final = (450.0, 1_300.0)
_IDLE_THROTTLE_PCT: Final = 15.0
# After the engine has stopped the manifold fills for this time.
_FILLS_S: Final = 1.0
_LEAST_ROWS: Final = 4
_MOST_ROWS: Final = 20_000


def key_on(recording: Recording) -> Measured:
    """Boost with the engine off: what the sensor is off by, against the barometer of the car.

    A log in absolute pressure without a barometer cannot show it, for then outside air is only
    guessed.
    """
    import numpy as np

    rpm = recording.values.get("rpm")
    if rpm is None:
        return missing("the log has no rpm, so it does not say when the engine was off")
    if "barometer" not in recording.values and _absolute(recording):
        return missing("the log has no barometer to hold the boost sensor against")
    time = recording.time_s
    turning = np.flatnonzero(held(rpm) >= _OFF_RPM)
    off = rpm < _OFF_RPM
    if turning.size and bool(off.any()):
        before = np.searchsorted(turning, np.flatnonzero(off)) - 1
        last = np.where(before >= 0, time[turning[np.maximum(before, 0)]], -np.inf)
        off[np.flatnonzero(off)[time[off] - last < _FILLS_S]] = False
    return _middle(recording, off, "the engine never stood with the key on")


def idle_vacuum(recording: Recording) -> Measured:
    """The vacuum in the manifold at idle: how far boost is below outside air."""
    import numpy as np

    rpm = recording.values.get("rpm")
    if rpm is None:
        return missing("the log has no rpm")
    idle = (rpm >= _IDLE_RPM[0]) & (rpm <= _IDLE_RPM[1])
    for name, most in (("throttle", _IDLE_THROTTLE_PCT), ("pedal", 2.0), ("speed", 3.0)):
        values = recording.values.get(name)
        if values is not None:
            idle &= ~(values > most)
    if "throttle" not in recording.values and "pedal" not in recording.values:
        idle &= ~(held(recording.values["boost"]) > -10.0)
    found = _middle(recording, idle, "the log has no idle")
    if found.value is None:
        return found
    boost = finite(recording.values["boost"][idle])
    spread = 1.4826 * median(np.abs(boost - median(boost)))
    return Measured(-found.value, max(found.uncertainty, spread), found.span)


def _absolute(recording: Recording) -> bool:
    return any(one.id == "boost" and one.reference == "absolute" for one in recording.channels)


def _middle(recording: Recording, marked: Marks, why: str) -> Measured:
    import numpy as np

    boost = recording.values["boost"]
    rows = np.flatnonzero(marked & np.isfinite(boost))
    if rows.size < _LEAST_ROWS:
        return missing(why)
    span = Span(float(recording.time_s[rows[0]]), float(recording.time_s[rows[-1]]))
    if rows.size > _MOST_ROWS:
        rows = rows[:: rows.size // _MOST_ROWS + 1]
    near = boost[rows]
    found = median(near)
    spread = 1.4826 * median(np.abs(near - found))
    return Measured(found, Z95 * 1.2533 * spread / np.sqrt(rows.size) + 0.1, span)
