"""A session with a logger: key on, idle, then pulls at one duty after the other, and lift-offs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.bench.car import Car
from expert.bench.pull import Row, Segment, run

KEY_ON_S: Final = 3.0
IDLE_S: Final = 4.0
ROLL_S: Final = 4.0
LIFT_S: Final = 2.0
# The longest that a pull may take; a weak car gets no further.
PULL_S: Final = 20.0
START_RPM: Final = 2_000.0

KEY_ON: Final = "key-on"
IDLE: Final = "idle"
ROLL: Final = "roll"
PULL: Final = "pull"
LIFT: Final = "lift"
SHIFT: Final = "shift"
AGAIN: Final = "again"
SHIFT_S: Final = 0.4
AGAIN_S: Final = 4.0
TOP_GEAR: Final = 5


def session(
    car: Car, duties: Sequence[float | None], gear: int = 3, start_rpm: float = START_RPM
) -> list[Segment]:
    """The parts of a session; a duty of None is the one of the table.

    After the last pull the driver changes up and opens the throttle again, for what a lift-off
    leaves behind.
    """
    idle = (car.engine.idle_rpm, car.engine.idle_rpm)
    parts = [
        Segment(KEY_ON, KEY_ON_S, 0.0, gear, (0.0, 0.0)),
        Segment(IDLE, IDLE_S, 0.0, gear, idle),
    ]
    for number, duty in enumerate(duties):
        first = None if number else start_rpm - 200.0
        parts += [
            Segment(ROLL, ROLL_S, 0.12, gear, (first, start_rpm), duty),
            Segment(PULL, PULL_S, 1.0, gear, None, duty),
            Segment(LIFT, LIFT_S, 0.0, gear, None, duty),
        ]
    if duties and gear < TOP_GEAR:
        parts[-1:] = [
            Segment(SHIFT, SHIFT_S, 0.0, gear + 1, None, duties[-1]),
            Segment(AGAIN, AGAIN_S, 1.0, gear + 1, None, duties[-1]),
            Segment(LIFT, LIFT_S, 0.0, gear + 1, None, duties[-1]),
        ]
    return [*parts, Segment(IDLE, 2.0, 0.0, gear, idle)]


def drive(car: Car, duties: Sequence[float | None], gear: int = 3) -> list[Row]:
    """A whole session."""
    return list(run(car, session(car, duties, gear)))


def of_pull(rows: Sequence[Row], segments: Sequence[Segment], number: int) -> list[Row]:
    """The rows of the pull with a number, from 0."""
    pulls = [k for k, segment in enumerate(segments) if segment.name == PULL]
    return [row for row in rows if row.segment == pulls[number]]
