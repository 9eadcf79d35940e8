"""Values that follow from measured ones and from what was told of the car."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from expert.evidence.log.record import Measured
from expert.evidence.log.told import missing

# Of less boost than this a share says nothing.
LEAST_KPA = 10.0
# Closed throttles leave far less air in a manifold than this below outside air; common practice.
LEAST_VACUUM_KPA = 20.0
# A sensor that is off by no more reads right; it is the least that the check key-on-pressure tells.
RIGHT_KPA = 2.5
_LEVELS = frozenset(
    {
        "peak_boost_kpa",
        "boost_at_zero_duty_kpa",
        "boost_over_spring_kpa",
        "boost_end_at_zero_duty_kpa",
        "boost_of_spring_pct",
        "boost_end_over_spring_kpa",
        "steady_boost_kpa",
        "steady_over_spring_kpa",
        "steady_under_told_kpa",
        "boost_under_target_kpa",
        "boost_over_target_kpa",
        "cut_over_target_kpa",
        "swings_over_target_kpa",
        "throttle_closed_at_kpa",
        "idle_vacuum_kpa",
    }
)
NO_SPRING = "the spring is not known; name it with --spring"
NO_TARGET = "no target was told; name it with --target"


def related(
    measured: Mapping[str, Measured], spring_kpa: float | None, target_kpa: float | None
) -> dict[str, Measured]:
    """Boost against the spring, the fall as a share of boost, and the target against that told."""
    steady = measured.get("steady_boost_kpa", missing(""))
    lowest = measured.get("boost_at_zero_duty_kpa", missing(""))
    ends = measured.get("boost_end_at_zero_duty_kpa", missing(""))
    target = measured.get("target_kpa", missing(""))
    return {
        "falls_pct": _share(measured.get("falls_kpa", missing("")), steady),
        "steady_over_spring_kpa": _less(steady, spring_kpa, NO_SPRING),
        "boost_of_spring_pct": _of_spring(lowest, spring_kpa),
        "boost_end_over_spring_kpa": _less(ends, spring_kpa, NO_SPRING),
        "steady_under_told_kpa": _below(steady, target_kpa),
        "target_below_told_kpa": _below(target, target_kpa),
    }


def unseen(measured: Mapping[str, Measured]) -> bool:
    """Is the manifold at idle so near to outside air that the sensor cannot be joined to it?"""
    vacuum = measured.get("idle_vacuum_kpa", missing(""))
    return vacuum.value is not None and vacuum.value + vacuum.uncertainty <= LEAST_VACUUM_KPA


def off_by(measured: Mapping[str, Measured]) -> dict[str, Measured]:
    """The values with what the sensor is off by, engine off, as a doubt of every level of boost.

    Differences between two readings keep their uncertainty. A sensor that reads outside air as it
    should leaves all as it is.
    """
    wrong = measured.get("key_on_off_kpa", missing(""))
    if wrong.value is None or abs(wrong.value) - wrong.uncertainty <= RIGHT_KPA:
        return dict(measured)
    return {
        name: replace(one, uncertainty=one.uncertainty + abs(wrong.value))
        if name in _LEVELS and one.value is not None
        else one
        for name, one in measured.items()
    }


def _less(value: Measured, level_kpa: float | None, why: str) -> Measured:
    if value.value is None:
        return value
    if level_kpa is None:
        return missing(why)
    return Measured(value.value - level_kpa, value.uncertainty, value.span)


def _of_spring(value: Measured, spring_kpa: float | None) -> Measured:
    if value.value is None:
        return value
    if not spring_kpa:
        return missing(NO_SPRING)
    times = 100.0 / spring_kpa
    return Measured(times * value.value, times * value.uncertainty, value.span)


def _below(value: Measured, level_kpa: float | None) -> Measured:
    less = _less(value, level_kpa, NO_TARGET)
    return less if less.value is None else Measured(-less.value, less.uncertainty, less.span)


def _share(part: Measured, whole: Measured) -> Measured:
    """A value in per cent of another one."""
    if part.value is None or whole.value is None:
        return part if part.value is None else whole
    if whole.value <= LEAST_KPA:
        return missing("the car makes too little boost to speak of a fall")
    spread = math.hypot(part.uncertainty, part.value / whole.value * whole.uncertainty)
    return Measured(100.0 * part.value / whole.value, 100.0 * spread / whole.value, part.span)
