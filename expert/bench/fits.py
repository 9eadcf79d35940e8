"""Which cars can have a fault: small tests of their parts."""

from __future__ import annotations

from collections.abc import Callable

from expert.bench.car import Car
from expert.bench.expect import is_pulsed

Fits = Callable[[Car], bool]


def anything(_: Car) -> bool:
    """Every car."""
    return True


def pulsed(car: Car) -> bool:
    """A car with a boost solenoid."""
    return is_pulsed(car.rig)


def unpulsed(car: Car) -> bool:
    """A car without a boost solenoid."""
    return not is_pulsed(car.rig)


def has(*parts: str) -> Fits:
    """A car with all of these parts."""
    return lambda car: car.rig.parts >= set(parts)


def one_signal(car: Car) -> bool:
    """A car with a single hose to its gate."""
    return "two-signals" not in car.rig.parts


def two_signals(car: Car) -> bool:
    """A car with a hose to each side of its gate's diaphragm."""
    return "two-signals" in car.rig.parts


def both(*tests: Fits) -> Fits:
    """A car that passes all tests."""
    return lambda car: all(test(car) for test in tests)


def bypass(*references: str) -> Fits:
    """A car whose bypass valve is held shut by one of these."""
    return lambda car: car.bypass.reference in references
