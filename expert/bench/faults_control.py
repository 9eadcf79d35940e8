"""Faults of the map, the sensor, the solenoid and the throttle."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from expert.bench.car import Car
from expert.bench.control import BATTERY_V, Solenoid
from expert.bench.fits import Fits, anything, has, pulsed, unpulsed

Change = Callable[[Car, random.Random], Car]


_OLD_OVER_NEW: Final = 1.6


def _control(**changes: object) -> Change:
    return lambda car, _: replace(
        car,
        control=replace(car.control, **changes),  # type: ignore[arg-type]
    )


def _solenoid(solenoid: Solenoid) -> Change:
    return lambda car, _: replace(car, solenoid=solenoid)


def _frequency(car: Car, draw: random.Random) -> Car:
    slow = draw.random() < 0.5
    # Too quick: a valve for slow pulses. Too slow: the map pulses a usual valve at 3 Hz.
    solenoid = Solenoid(slow=True, sheet_hz=10.0) if slow else Solenoid(ripple_hz=3.0)
    return replace(car, solenoid=solenoid)


def _dead(car: Car, draw: random.Random) -> Car:
    return replace(car, solenoid=Solenoid(coil_ohm=math.inf if draw.random() < 0.8 else 0.4))


def _unpowered(car: Car, draw: random.Random) -> Car:
    # What is wrong with the supply is drawn: the plug, the fuse, or a bad contact.
    share = draw.random()
    if share < 0.45:
        return replace(car, solenoid=Solenoid(plugged=False))
    return replace(car, solenoid=Solenoid(supply_v=0.0 if share < 0.9 else 0.5 * BATTERY_V))


def _shorted(car: Car, draw: random.Random) -> Car:
    return replace(car, solenoid=Solenoid(ground_ohm=draw.uniform(0.3, 3.0)))


def _duty_low(car: Car, draw: random.Random) -> Car:
    table = car.control.table * draw.uniform(0.15, 0.4)
    return replace(
        car, control=replace(car.control, table=table, gain=0.0, integral=0.0, spool_share=0.0)
    )


def _aggressive(car: Car, draw: random.Random) -> Car:
    return replace(
        car,
        control=replace(
            car.control,
            gain=draw.uniform(2.0e-5, 4.0e-5),
            integral=draw.uniform(4.0e-5, 8.0e-5),
            spool_share=0.97,
        ),
        extra_lag_s=car.extra_lag_s + 0.08,
    )


def _old_duty(car: Car, _: random.Random) -> Car:
    # For 1.5 times the spring the three-port valve of this bench takes 1.6 times the duty.
    table = min(_OLD_OVER_NEW * car.control.table, car.control.duty_most)
    return replace(
        car,
        control=replace(
            car.control,
            table=table,
            gain=0.0,
            integral=0.0,
            spool_share=0.0,
            made_for="three-port",
        ),
    )


def _tight(car: Car, draw: random.Random) -> Car:
    cut = car.control.target_pa - draw.uniform(8e3, 18e3)
    return replace(car, control=replace(car.control, cut_pa=cut))


def _limp(car: Car, draw: random.Random) -> Car:
    throttle = 0.35 if draw.random() < 0.3 else 1.0
    return replace(
        car, control=replace(car.control, duty_taken=True, throttle_most=throttle, limp=True)
    )


def _offset(car: Car, draw: random.Random) -> Car:
    offset = draw.uniform(12e3, 30e3) * (-1.0 if draw.random() < 0.6 else 1.0)
    return replace(car, sensor=replace(car.sensor, offset_pa=offset))


def _gauge(car: Car, draw: random.Random) -> Car:
    offset = draw.uniform(15e3, 40e3) * draw.choice((-1.0, 1.0))
    return replace(car, gauge=replace(car.gauge, offset_pa=offset))


def _hose_off(car: Car, draw: random.Random) -> Car:
    share = 0.0 if draw.random() < 0.6 else draw.uniform(0.1, 0.3)
    return replace(car, sensor=replace(car.sensor, sees=share))


def _clipped(car: Car, draw: random.Random) -> Car:
    most = car.place.ambient_pa + car.target_pa * draw.uniform(0.8, 0.92)
    return replace(car, sensor=replace(car.sensor, most_pa=most))


def _throttle(car: Car, draw: random.Random) -> Car:
    control = replace(car.control, throttle_most=draw.uniform(0.25, 0.4))
    return replace(car, control=control)


_RESTS: Final = "the valve rests whatever the duty"
_DRIVEN: Final = "the valve is driven whatever the duty"

CONTROL_FAULTS: Final[dict[str, tuple[str, Fits, Change]]] = {
    "solenoid-dead": (_RESTS, pulsed, _dead),
    "solenoid-unpowered": (_RESTS, pulsed, _unpowered),
    "solenoid-wire-open": (_RESTS, pulsed, _solenoid(Solenoid(wire_ohm=math.inf))),
    "solenoid-jammed": (_RESTS, pulsed, _solenoid(Solenoid(stuck=0.0))),
    "solenoid-stuck-on": (_DRIVEN, pulsed, _solenoid(Solenoid(stuck=1.0))),
    "driver-shorted": (_DRIVEN, pulsed, _shorted),
    "solenoid-leaky": (
        "both seats pass: driven 0.28 to 0.4 at least and as much less at most",
        pulsed,
        lambda car, draw: replace(car, solenoid=Solenoid(leak=draw.uniform(0.28, 0.40))),
    ),
    "driver-inverted": (
        "driven for the rest of the time",
        pulsed,
        _solenoid(Solenoid(inverted=True)),
    ),
    "frequency-wrong": (
        "too quick: at rest up to a duty of 0.6, then a jump; too slow: the gate feels each pulse",
        pulsed,
        _frequency,
    ),
    "duty-low": ("0.15 to 0.4 of the duty it takes, without correction", pulsed, _duty_low),
    "loop-aggressive": (
        "strong correction, and the gate kept shut up to 97 % of the target",
        pulsed,
        _aggressive,
    ),
    "fourport-old-duty": ("the duty of a three-port valve", has("four-port"), _old_duty),
    "limp-mode": ("duty 0; in three of ten the throttle at 35 %", pulsed, _limp),
    "limp-throttle": ("throttle at 35 %", unpulsed, _control(throttle_most=0.35, limp=True)),
    "limit-tight": ("throttle closes 8 to 18 kPa below the target", anything, _tight),
    "map-offset": ("reads 12 to 30 kPa low or high", anything, _offset),
    "map-hose-off": ("feels none, or up to 30 %, of the boost", anything, _hose_off),
    "map-clipped": ("reads at most 80 to 92 % of the target", anything, _clipped),
    "gauge-wrong": ("the gauge is 15 to 40 kPa out; the log is sound", anything, _gauge),
    "throttle-short": ("throttle at most at 25 to 40 %", anything, _throttle),
    "as-designed:base-map": (
        "duty 0 in the table, without correction",
        pulsed,
        _control(table=0.0, gain=0.0, integral=0.0, spool_share=0.0),
    ),
}
