"""Cars for the closed loop: setup, gate, place and size, with a fault drawn by a seed."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from expert.bench.air import kelvin, standard_pressure_pa
from expert.bench.car import Car, sized, sound_car
from expert.bench.expect import Place
from expert.bench.faults import broken, fitting
from expert.bench.logger import DIALECTS
from expert.case.car import NO_BYPASS, parts_of
from expert.evidence.hookup.found import as_it_should_be
from expert.evidence.hookup.layout import layout_of
from expert.evidence.hookup.physics import rig_of
from expert.model import Knowledge

SOUND = "sound"
NO_VALVE = "as-designed:no-bypass"
# With 1.5 times these as targets, which the turbo of the bench holds to the end of the revs.
SPRINGS_KPA = (40.0, 50.0, 60.0, 70.0, 80.0)
# Steps, so that the tables of the gate can be kept.
ALTITUDES_M = (0.0, 300.0, 600.0, 1_200.0)
TEMPERATURES_C = (5.0, 12.0, 20.0, 28.0, 35.0)
LITRES = (1.4, 1.8, 2.0, 2.5, 3.0)


@dataclass(frozen=True)
class Variation:
    """A car without a fault: what its owner says of it, and the car itself."""

    setup: str
    gate: str | None
    bypass: str
    number: int
    spring_kpa: float
    dialect: str
    sound: Car

    @property
    def name(self) -> str:
        """What to call it."""
        return f"{self.setup}/{self.gate or '-'}/{self.number}"


def plans(knowledge: Knowledge, setups: list[str], count: int) -> list[tuple[str, str | None, int]]:
    """Setup, gate and number of every variation."""
    return [
        (setup, gate, number)
        for number in range(count)
        for setup in setups
        for gate in (("internal", "external") if knowledge.setups[setup].gates else (None,))
    ]


def variation(knowledge: Knowledge, setup: str, gate: str | None, number: int) -> Variation:
    """The car of a plan, everything about it drawn by its own seed.

    It has a bypass valve of one of the layouts, as nearly every car has.
    """
    draw = random.Random(f"{setup} {gate} {number}")
    spring_kpa = draw.choice(SPRINGS_KPA)
    place = Place(
        standard_pressure_pa(draw.choice(ALTITUDES_M)), kelvin(draw.choice(TEMPERATURES_C))
    )
    litres, dialect = draw.choice(LITRES), draw.choice(sorted(DIALECTS))
    bypass = draw.choice(sorted(knowledge.bypasses))
    sound = _car(knowledge, setup, gate, bypass, spring_kpa, place)
    return Variation(setup, gate, bypass, number, spring_kpa, dialect, sized(sound, litres))


def without_valve(knowledge: Knowledge, one: Variation) -> Variation:
    """The same car without a bypass valve."""
    car = _car(knowledge, one.setup, one.gate, None, one.spring_kpa, one.sound.place)
    litres = 1e3 * one.sound.engine.displacement_m3
    return replace(one, bypass=NO_BYPASS, sound=sized(car, litres))


def _car(
    knowledge: Knowledge,
    setup: str,
    gate: str | None,
    bypass: str | None,
    spring_kpa: float,
    place: Place,
) -> Car:
    parts = parts_of(knowledge, setup, gate, bypass)
    layout = layout_of(knowledge, setup, bypass, parts)
    rig = rig_of(layout, as_it_should_be(layout))
    return sound_car(rig, 1e3 * spring_kpa, place)


def faults(
    knowledge: Knowledge, one: Variation, causes: frozenset[str]
) -> Iterator[tuple[str, Variation, Car]]:
    """Every fault that this car can have, and the car with it; first the sound car."""
    if not causes or SOUND in causes:
        yield SOUND, one, one.sound
    seed = one.number + 1
    for fault in fitting(one.sound):
        if fault.id in knowledge.causes and (not causes or fault.id in causes):
            yield fault.id, one, broken(one.sound, [fault.id], seed)
    bare = without_valve(knowledge, one)
    if not causes or NO_VALVE in causes:
        yield NO_VALVE, bare, bare.sound
