"""Every fault that the bench can give a car, by a plain id: what it does to the physics.

A fault is a change of the car, with a draw for how bad it is. The families stand in modules of
their own; this one is their registry. Ids are names only: nothing here knows what is written
about them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from expert.bench.car import Car
from expert.bench.faults_air import AIR_FAULTS
from expert.bench.faults_control import CONTROL_FAULTS
from expert.bench.faults_gate import GATE_FAULTS
from expert.bench.faults_signal import SIGNAL_FAULTS

Change = Callable[[Car, random.Random], Car]
Fits = Callable[[Car], bool]


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault: its id, how it is modelled, which cars can have it, and what it changes."""

    id: str
    how: str
    fits: Fits
    change: Change


FAULTS: Final[dict[str, Fault]] = {
    name: Fault(name, how, fits, change)
    for family in (SIGNAL_FAULTS, GATE_FAULTS, CONTROL_FAULTS, AIR_FAULTS)
    for name, (how, fits, change) in family.items()
}


class FaultError(ValueError):
    """A fault that the bench does not know, or that this car cannot have."""


def fitting(car: Car) -> Iterator[Fault]:
    """The faults that a car can have."""
    return (fault for fault in FAULTS.values() if fault.fits(car))


def broken(car: Car, causes: Sequence[str], seed: int) -> Car:
    """The car with these faults, how bad they are drawn by a seed.

    Raises FaultError for a fault that is not known here or does not fit the car.
    """
    for name in causes:
        if name not in FAULTS:
            raise FaultError(f"The bench has no effect for {name!r}; see gatepost bench --list.")
        if not FAULTS[name].fits(car):
            raise FaultError(f"This car cannot have {name!r}: it lacks the parts for it.")
    for name in causes:
        try:
            car = FAULTS[name].change(car, random.Random(f"{seed} {name}"))
        except ValueError as error:
            raise FaultError(
                f"{name!r} cannot be added to the faults before it: {error}. Name fewer."
            ) from None
    return car
