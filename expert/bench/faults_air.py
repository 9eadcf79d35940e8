"""Faults of pipes, cooler, exhaust, turbo, engine, clutch and bypass valve."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from expert.bench.car import Car, hole_m2
from expert.bench.fits import Fits, anything, both, bypass, unpulsed

Change = Callable[[Car, random.Random], Car]


def _leak(low_mm: float, high_mm: float) -> Change:
    return lambda car, draw: replace(car, charge_leak_m2=hole_m2(draw.uniform(low_mm, high_mm)))


def _exhaust_leak(car: Car, draw: random.Random) -> Car:
    return replace(car, exhaust_leak_m2=hole_m2(draw.uniform(11.0, 16.0)))


def _cooler(car: Car, draw: random.Random) -> Car:
    return replace(car, cooler_loss=car.cooler_loss * draw.uniform(8.0, 14.0))


def _inlet(car: Car, draw: random.Random) -> Car:
    return replace(car, inlet_loss=car.inlet_loss * draw.uniform(20.0, 40.0))


def _exhaust(car: Car, draw: random.Random) -> Car:
    return replace(car, exhaust_loss=car.exhaust_loss * draw.uniform(16.0, 26.0))


def _damaged(car: Car, draw: random.Random) -> Car:
    bad = draw.uniform(0.3, 0.45)
    return replace(
        car,
        compressor=replace(car.compressor, damage=bad),
        turbine=replace(car.turbine, damage=bad),
        rubbing_n_m=0.02,
    )


def _engine(car: Car, draw: random.Random) -> Car:
    engine = replace(
        car.engine, spark=draw.uniform(0.5, 0.7), misfire_k=draw.uniform(120.0, 220.0), mixture=15.5
    )
    return replace(car, engine=engine)


def _clutch(car: Car, draw: random.Random) -> Car:
    # What this engine gives at its target, less 10 to 20 %.
    most = (170.0 + 1.95e-3 * car.target_pa) * draw.uniform(0.80, 0.90)
    return replace(car, vehicle=replace(car.vehicle, clutch_n_m=most))


def _large(car: Car, draw: random.Random) -> Car:
    size = draw.uniform(1.12, 1.25)
    wheel = replace(
        car.compressor,
        diameter_m=car.compressor.diameter_m * size,
        speed_most=car.compressor.speed_most / size,
    )
    turbine = replace(
        car.turbine,
        capacity=car.turbine.capacity * 1.5 * size,
        diameter_m=car.turbine.diameter_m * size,
    )
    return replace(car, compressor=wheel, turbine=turbine, rotor_kg_m2=car.rotor_kg_m2 * size**5)


def _small(car: Car, draw: random.Random) -> Car:
    size = draw.uniform(0.70, 0.76)
    wheel = replace(
        car.compressor,
        diameter_m=car.compressor.diameter_m * size,
        speed_most=car.compressor.speed_most / size,
    )
    turbine = replace(
        car.turbine, capacity=car.turbine.capacity * 0.75, diameter_m=car.turbine.diameter_m * size
    )
    return replace(car, compressor=wheel, turbine=turbine, rotor_kg_m2=car.rotor_kg_m2 * size**5)


def _surging(car: Car, draw: random.Random) -> Car:
    wheel = car.compressor
    return replace(
        car,
        compressor=replace(wheel, flow_surge=wheel.flow_surge * draw.uniform(2.5, 2.8)),
        turbine=replace(car.turbine, capacity=0.75 * car.turbine.capacity),
    )


def _bypass(**changes: object) -> Change:
    return lambda car, _: replace(
        car,
        bypass=replace(car.bypass, **changes),  # type: ignore[arg-type]
    )


def _torn(car: Car, draw: random.Random) -> Car:
    return replace(car, bypass=replace(car.bypass, leak_m2=hole_m2(draw.uniform(15.0, 22.0))))


def _same(car: Car, _: random.Random) -> Car:
    return car


_only_spring = both(unpulsed, lambda car: "manual-controller" not in car.rig.parts)
_any_bypass = bypass("manifold", "vacuum")

AIR_FAULTS: Final[dict[str, tuple[str, Fits, Change]]] = {
    "charge-leak-small": ("hole of 9 to 15 mm in the charge pipe", anything, _leak(9.0, 15.0)),
    "charge-leak-big": ("hole of 40 to 60 mm in the charge pipe", anything, _leak(40.0, 60.0)),
    "cooler-blocked": ("8 to 14 times the loss of pressure", anything, _cooler),
    "inlet-choked": ("20 to 40 times the loss of pressure", anything, _inlet),
    "exhaust-blocked": ("16 to 26 times the loss of pressure", anything, _exhaust),
    "exhaust-leak": ("hole of 11 to 16 mm before the turbine", anything, _exhaust_leak),
    "turbo-damaged": ("less head, less efficiency, and rubbing", anything, _damaged),
    "engine-fault": ("less torque, a cooler exhaust and a lean mixture", anything, _engine),
    "clutch-slip": ("the clutch carries less than the engine gives", anything, _clutch),
    "surge-on-throttle": (
        "surge line at 2.5 to 2.8 times the flow, early boost",
        anything,
        _surging,
    ),
    "as-designed:large-turbo": ("larger wheels and a heavier rotor", anything, _large),
    "as-designed:small-turbo": ("smaller wheels, choked at high speed", anything, _small),
    "as-designed:spring-only": ("nothing is wrong", _only_spring, _same),
    "as-designed:no-bypass": (
        "no valve: the wheel surges on lift-off",
        bypass("none"),
        _same,
    ),
    "bypass-open": ("open in boost", bypass("vacuum"), _bypass(opens_in_boost=True)),
    "bypass-no-vacuum": (
        "shut on lift-off",
        bypass("vacuum"),
        _bypass(opens_on_lift=False),
    ),
    "bypass-torn": ("hole of 15 to 22 mm that stays open", _any_bypass, _torn),
    "bov-hose": (
        "outside air on the spring's side",
        bypass("manifold"),
        _bypass(reference="ambient"),
    ),
    "bov-pre-throttle": (
        "charge pressure on the spring's side",
        bypass("manifold"),
        _bypass(reference="pre-throttle"),
    ),
    "bov-spring-soft": (
        "lifts while charge and manifold are still equal",
        bypass("manifold"),
        _bypass(spring_pa=-2e3),
    ),
    "bov-spring-stiff": (
        "opens at 130 kPa over the manifold",
        bypass("manifold"),
        _bypass(spring_pa=130e3),
    ),
}
