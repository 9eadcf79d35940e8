"""The way of the air: filter, pipes under smoke and pressure, cooler."""

from __future__ import annotations

import math
from typing import Final

from expert.bench.car import hole_m2
from expert.bench.instruments.hoses import TEST_PA, charge_share
from expert.bench.instruments.subject import Answers, Subject
from expert.bench.rig import Air, gate_sees

# Holes that a person with smoke or soap finds, and beyond which nothing builds up: assumed.
FOUND_M2: Final = hole_m2(0.8)
BUILDS: Final = 0.15
# A resistance so many times the usual is something in the way: assumed.
DIRTY, CHOKED = 3.0, 8.0


def escapes_m2(subject: Subject) -> float:
    """All holes of the plugged charge path together, beyond what a sound car lets out."""
    car = subject.car
    ambient = car.place.ambient_pa
    bypass = car.bypass.open_m2(ambient + TEST_PA, ambient + TEST_PA, ambient, off=False)
    return car.charge_leak_m2 + bypass + max(_hoses_m2(subject), 0.0)


def _hoses_m2(subject: Subject) -> float:
    """What the hoses of the signal let out, as a hole, beyond what they should."""

    def lost(one: Subject) -> float:
        air = Air(TEST_PA, TEST_PA, subject.car.place.ambient_pa)
        return gate_sees(one.car.rig, air, float(one.car.solenoid.stuck == 1.0)).lost_kg_s

    more = lost(subject) - lost(Subject(subject.sound, subject.sound))
    torn = subject.car.wastegate.torn > 0.3
    # Flow of air at this pressure through a hole, by Bernoulli.
    speed = math.sqrt(2.0 * TEST_PA / 1.2) * 0.7 * 1.2
    return more / speed + (hole_m2(2.0) if torn else 0.0)


def smoke_test(subject: Subject) -> Answers:
    """Smoke out of the charge path."""
    hole = escapes_m2(subject)
    if hole < FOUND_M2:
        return ("none",)
    return ("wisp",) if charge_share(hole) > BUILDS else ("plume",)


def pressure_test(subject: Subject) -> Answers:
    """Air fed into the charge path."""
    hole = escapes_m2(subject)
    if hole < FOUND_M2:
        return ("holds",)
    return ("hiss",) if charge_share(hole) > BUILDS else ("wont-build",)


def inlet_look(subject: Subject) -> Answers:
    """Filter and inlet pipe opened."""
    times = subject.car.inlet_loss / subject.sound.inlet_loss
    if times > CHOKED:
        return ("choked",)
    return ("dirty",) if times > DIRTY else ("clear",)


def cooler_look(subject: Subject) -> Answers:
    """The cooler and the hoses beside it."""
    times = subject.car.cooler_loss / subject.sound.cooler_loss
    if times > CHOKED:
        return ("shut",)
    return ("oily-or-bent",) if times > DIRTY else ("open",)


def core_drop(subject: Subject) -> Answers:
    """Air fed in before the cooler, its far end open."""
    times = subject.car.cooler_loss / subject.sound.cooler_loss
    return ("drop",) if times > DIRTY else ("even",)
