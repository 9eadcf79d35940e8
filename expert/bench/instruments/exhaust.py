"""The exhaust: leaks before the turbine, and what stands in the way after it."""

from __future__ import annotations

from typing import Final

from expert.bench.car import hole_m2
from expert.bench.instruments.charge import CHOKED, DIRTY
from expert.bench.instruments.subject import Answers, Subject

# Pressure after the turbine that is near a usual limit, and over it: common practice, no source.
NEAR_PA: Final = 25e3
OVER_PA: Final = 40e3
_PUFFS_M2: Final = hole_m2(14.0)


def leak_listen(subject: Subject) -> Answers:
    """A cold start, an ear and an eye between engine and turbo."""
    hole = subject.car.exhaust_leak_m2
    if hole <= 0.0:
        return ("none",)
    return ("plume",) if hole > _PUFFS_M2 else ("tick-soot",)


def smoke(subject: Subject) -> Answers:
    """Smoke fed in at the tailpipe."""
    hole = subject.car.exhaust_leak_m2
    if hole <= 0.0:
        return ("none",)
    return ("plume",) if hole > _PUFFS_M2 else ("wisp",)


def look(subject: Subject) -> Answers:
    """Looking into the pipe and tapping along it."""
    times = subject.car.exhaust_loss / subject.sound.exhaust_loss
    if times > CHOKED:
        return ("blocked",)
    return ("partly",) if times > DIRTY else ("clear",)


def pressure(subject: Subject) -> Answers:
    """A gauge after the turbine, on a pull with the solenoid at rest."""
    most = max(row.p4_pa - row.ambient_pa for row in subject.lowest)
    if most > OVER_PA:
        return ("over",)
    return ("raised",) if most > NEAR_PA else ("low",)
