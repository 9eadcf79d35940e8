"""A car on the bench as a person with tools meets it: the car itself and its papers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final

from expert.bench.car import Car
from expert.bench.pull import Row, Segment, run
from expert.bench.session import AGAIN, KEY_ON, LIFT, PULL, session
from expert.bench.wastegate import Wastegate

# What an instrument answers; empty where it cannot tell.
Answers = tuple[str, ...]
UNKNOWN: Final[Answers] = ()


@dataclass(frozen=True)
class Subject:
    """``car`` is as it is, ``sound`` as its table of hoses, its sheets and its map say.

    Nothing here says what is wrong with it. Runs are driven when they are asked for, and kept.
    ``driven`` and ``wound_out`` are sessions that were driven already, the second with a
    controller by hand at its lowest setting.
    """

    car: Car
    sound: Car
    driven: tuple[Row, ...] | None = field(default=None, repr=False)
    wound_out: tuple[Row, ...] | None = field(default=None, repr=False)

    @cached_property
    def parts(self) -> list[Segment]:
        """The parts of the session of ``rows``: a pull at rest, one by the map, and lift-offs."""
        return session(self.car, [0.0, None])

    @cached_property
    def rows(self) -> list[Row]:
        """The session itself."""
        if self.driven is not None:
            return list(self.driven)
        return list(run(self.car, self.parts))

    def of(self, name: str) -> list[Row]:
        """The rows of all parts with a name."""
        return [row for row in self.rows if self.parts[row.segment].name == name]

    @cached_property
    def lowest(self) -> list[Row]:
        """The pull at the lowest setting: the solenoid at rest, a controller wound out."""
        if "manual-controller" not in self.car.rig.parts:
            return self._pull(0)
        return Subject(replace(self.car, setting=0.0), self.sound, self.wound_out)._pull(0)

    @cached_property
    def mapped(self) -> list[Row]:
        """The pull by the map."""
        return self._pull(1)

    def _pull(self, number: int) -> list[Row]:
        places = [k for k, part in enumerate(self.parts) if part.name == PULL]
        return [row for row in self.rows if row.segment == places[number]]

    def with_car(self, car: Car) -> Subject:
        """Another state of the car with the same papers."""
        return Subject(car, self.sound)


Instrument = Callable[[Subject], Answers]

KEY_ON_PART: Final = KEY_ON
LIFT_PART: Final = LIFT
PULL_PART: Final = PULL
AGAIN_PART: Final = AGAIN


def true_kpa(row: Row) -> float:
    """True boost in the manifold."""
    return (row.manifold_pa - row.ambient_pa) / 1e3


def read_kpa(row: Row) -> float:
    """Boost as the sensor reads it."""
    return (row.read_pa - row.ambient_pa) / 1e3


def breathing(gate: Wastegate) -> Wastegate:
    """The gate with its upper side open to the air."""
    return replace(gate, shut_in_m3=None)
