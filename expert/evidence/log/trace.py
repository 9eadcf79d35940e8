"""One pull on even steps of time, ready to be measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.log.pulls import FLAT
from expert.evidence.log.ranks import median
from expert.evidence.log.record import Pull, Recording, Span
from expert.evidence.log.smooth import boxed, deglitched, joined, noise

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Steps are those of the logger, but no finer and no coarser than this.
_FINEST_S: Final = 0.02
_COARSEST_S: Final = 0.2
# Means that keep an overshoot, and means that show where boost stands.
QUICK_S: Final = 0.12
_SLOW_S: Final = 0.2
# Until the throttle is open and the manifold has filled, without a throttle to tell.
_OPENING_S: Final = 0.35
# Below this boost the throttle is not open yet.
_VACUUM_KPA: Final = -8.0
# A throttle below this share of what it was is closing by itself.
CLOSING: Final = 0.75
# How near the most rpm of a pull counts as the top, where a limiter may act.
_TOP: Final = 0.997
_RISE_RPM: Final = 300.0
_LEAST_ROWS: Final = 5


@dataclass(frozen=True)
class Trace:
    """A pull: even steps of time with smoothed channels, and the rows of boost as logged.

    ``quick_kpa`` is boost over windows of about 0.12 s, ``level_kpa`` over 0.2 s; ``noise_kpa`` is
    the standard deviation of the noise of a row. From ``begin`` up to ``end`` the throttle is open
    and rpm has not yet reached its top. ``boost_kpa`` at ``logged_s`` are the rows as they are.
    Channels that the log lacks are None.
    """

    pull: Pull
    time_s: Floats
    quick_kpa: Floats
    level_kpa: Floats
    begin: int
    end: int
    noise_kpa: float
    logged_s: Floats
    boost_kpa: Floats
    rpm: Floats | None = None
    duty_pct: Floats | None = None
    target_kpa: Floats | None = None
    throttle_pct: Floats | None = None
    pedal_pct: Floats | None = None
    speed_km_h: Floats | None = None

    @property
    def step_s(self) -> float:
        """Time from one step to the next."""
        return float(self.time_s[1] - self.time_s[0])

    @property
    def row_s(self) -> float:
        """Usual time from one logged row to the next."""
        return float(self.logged_s[-1] - self.logged_s[0]) / (self.logged_s.size - 1)

    def at(self, seconds: float) -> int:
        """The step at a time, within the pull."""
        return min(max(round((seconds - float(self.time_s[0])) / self.step_s), 0), self.last)

    @property
    def last(self) -> int:
        """The last step."""
        return int(self.time_s.size) - 1

    def span(self, first: int, last: int) -> Span:
        """The time from one step to another, both within the pull."""
        first, last = min(max(first, 0), self.last), min(max(last, 0), self.last)
        return Span(float(self.time_s[first]), float(self.time_s[last]))

    def independent(self, first: int, last: int) -> float:
        """How many values of ``level_kpa`` between two steps are independent of each other."""
        width = max(_SLOW_S, 2.0 * self.step_s, self.row_s)
        return max((last - first) * self.step_s / width, 1.0)


def traces(recording: Recording, pulls: Iterable[Pull]) -> list[Trace]:
    """The traces of those pulls that have enough rows with boost.

    All have the noise of the calmest, for quick swings look like noise.
    """
    found = [trace for trace in (trace_of(recording, pull) for pull in pulls) if trace is not None]
    noise_kpa = min((trace.noise_kpa for trace in found), default=0.0)
    return [replace(trace, noise_kpa=noise_kpa) for trace in found]


def trace_of(recording: Recording, pull: Pull) -> Trace | None:
    """The trace of a pull, or None of one with too few rows."""
    import numpy as np

    rows = slice(pull.first, pull.last)
    time, boost = recording.time_s[rows], recording.values["boost"][rows]
    known = np.isfinite(boost)
    if int(known.sum()) < _LEAST_ROWS:
        return None
    logged, rowed = time[known], deglitched(boost[known])
    steps = np.diff(logged)
    step = min(max(median(steps), _FINEST_S), _COARSEST_S)
    count = int((logged[-1] - logged[0]) / step + 1e-6) + 1
    if count < _LEAST_ROWS:
        return None
    even = np.minimum(logged[0] + step * np.arange(count), logged[-1])

    def channel(name: str, width_s: float = 0.0) -> Floats | None:
        values = recording.values.get(name)
        if values is None:
            return None
        if width_s:
            kept = np.isfinite(values[rows])
            if int(kept.sum()) < 2:
                return None
            return boxed(time[kept], values[rows][kept], even, width_s)
        return joined(time, values[rows], even)

    quick = boxed(logged, rowed, even, max(QUICK_S, step))
    level = boxed(logged, rowed, even, max(_SLOW_S, 2.0 * step))
    throttle, rpm = channel("throttle"), channel("rpm", 0.15)
    begin, end = _open(even, level, throttle, rpm)
    return Trace(
        pull,
        even,
        quick,
        level,
        begin,
        end,
        noise(rowed),
        logged,
        rowed,
        rpm,
        channel("duty"),
        channel("target"),
        throttle,
        channel("pedal"),
        channel("speed"),
    )


def _open(
    time: Floats, level: Floats, throttle: Floats | None, rpm: Floats | None
) -> tuple[int, int]:
    """The first step with the throttle open and the manifold full, and the step after the last."""
    import numpy as np

    begin, end = int(np.searchsorted(time, time[0] + _OPENING_S)), int(time.size)
    top = float(np.max(throttle)) if throttle is not None else 0.0
    if throttle is not None and top > 0.0:
        opened = np.flatnonzero(throttle >= FLAT * top)
        begin = max(int(opened[0]), int(np.searchsorted(time, time[0] + 0.15)))
        shut = np.flatnonzero(throttle[begin:] < CLOSING * top)
        if shut.size:
            end = begin + int(shut[0])
    filled = np.flatnonzero(level[begin:end] > _VACUUM_KPA)
    if filled.size and float(time[begin + filled[0]] - time[begin]) < 2.0 * _OPENING_S:
        begin += int(filled[0])
    if rpm is not None and end > begin:
        most = float(np.max(rpm[begin:end]))
        if most - float(rpm[begin]) >= _RISE_RPM:
            end = min(end, begin + int(np.argmax(rpm[begin:end] >= _TOP * most)) + 1)
    return min(begin, time.size - 2), max(min(end, time.size), min(begin, time.size - 2) + 2)
