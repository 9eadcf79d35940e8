"""Faults of the gate: spring, diaphragm, valve, seat and what is round it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from expert.bench.car import Car, hole_m2
from expert.bench.fits import Fits, anything, has
from expert.bench.wastegate import ENOUGH_M, Wastegate

Change = Callable[[Car, random.Random], Car]
# Bores of a gate that is too small for a free exhaust.
_SMALL_M: Final = (0.021, 0.024)
# How far the rod is pulled to reach its pin, the middle of the 1 to 4 mm that are usual: common
# practice, no source.
_SQUEEZE_M: Final = 2.5e-3


def _gate(change: Callable[[Wastegate, random.Random], Wastegate]) -> Change:
    return lambda car, draw: replace(car, wastegate=change(car.wastegate, draw))


def _spring(low: float, high: float, *, tired: bool = False) -> Change:
    def change(one: Wastegate, draw: random.Random) -> Wastegate:
        gate, share = one.gate, draw.uniform(low, high)
        sprung = replace(one, gate=replace(gate, preload_n=gate.preload_n * share))
        return (
            replace(sprung, spring_sag=share) if tired else replace(sprung, spring_made_for=share)
        )

    return _gate(change)


def _leaking(low_mm: float, high_mm: float, **found: object) -> Change:
    return _gate(
        lambda one, draw: replace(
            one,
            leak_m2=hole_m2(draw.uniform(low_mm, high_mm)),
            **found,  # type: ignore[arg-type]
        )
    )


def _dragging(one: Wastegate, draw: random.Random) -> Wastegate:
    share = draw.uniform(0.12, 0.25)
    return replace(one, gate=replace(one.gate, friction_n=share * one.gate.preload_n))


def _short_rod(one: Wastegate, draw: random.Random) -> Wastegate:
    short_m = draw.uniform(0.004, 0.006)
    gate = one.gate
    preload_n = gate.preload_n + short_m * gate.rate_n_m
    shorter = replace(gate, preload_n=preload_n, travel_m=gate.travel_m - short_m)
    return replace(one, gate=shorter, rod_short_m=short_m)


def _long_rod(one: Wastegate, draw: random.Random) -> Wastegate:
    # Nothing pulls the rod when the can is at its own stop, so the squeeze is lost as well.
    ajar_m = draw.uniform(2e-3, 3.5e-3)
    gate = one.gate
    preload_n = max(gate.preload_n - (_SQUEEZE_M + ajar_m) * gate.rate_n_m, 1.0)
    return replace(
        one,
        ajar_m=ajar_m,
        gate=replace(gate, preload_n=preload_n),
        rod_short_m=-_SQUEEZE_M - ajar_m,
    )


def _cocked(one: Wastegate, draw: random.Random) -> Wastegate:
    gate = replace(one.gate, travel_m=one.gate.travel_m * 0.35)
    return replace(one, gate=gate, leak_m2=hole_m2(draw.uniform(14.0, 19.0)), ring="tilted")


def _travel(low_m: float, high_m: float) -> Change:
    return _gate(
        lambda one, draw: replace(
            one, gate=replace(one.gate, travel_m=draw.uniform(low_m, high_m)), fouls=True
        )
    )


def _small(one: Wastegate, draw: random.Random) -> Wastegate:
    return replace(one, port_m=draw.uniform(*_SMALL_M))


def _pushed(one: Wastegate, draw: random.Random) -> Wastegate:
    gate = one.gate
    return replace(one, gate=replace(gate, lever=gate.lever * draw.uniform(1.7, 2.1)))


def _blown(car: Car, draw: random.Random) -> Car:
    return replace(
        car,
        wastegate=_pushed(car.wastegate, draw),
        exhaust_loss=1.3 * car.exhaust_loss,
        turbine=replace(car.turbine, capacity=0.85 * car.turbine.capacity),
    )


def _cold(car: Car, draw: random.Random) -> Car:
    place = replace(car.place, ambient_k=draw.uniform(256.0, 266.0))
    gate = replace(car.wastegate, port_m=ENOUGH_M)
    return replace(car, place=place, wastegate=gate)


_inner, _outer = has("internal-gate"), has("external-gate")

GATE_FAULTS: Final[dict[str, tuple[str, Fits, Change]]] = {
    "spring-soft": ("preload 0.5 to 0.65 of the spring's", anything, _spring(0.5, 0.65)),
    "spring-stiff": ("preload 1.35 to 1.6 of the spring's", anything, _spring(1.35, 1.6)),
    "spring-tired": (
        "preload 0.72 to 0.82 of the spring's",
        anything,
        _spring(0.72, 0.82, tired=True),
    ),
    "diaphragm-torn": (
        "pressure on both sides is nearly the same",
        anything,
        _gate(lambda one, draw: replace(one, torn=draw.uniform(0.85, 1.0))),
    ),
    "stem-sticks": ("drag of 12 to 25 % of the preload", anything, _gate(_dragging)),
    "valve-debris": (
        "hole of 16 to 21 mm that stays open",
        anything,
        _leaking(16.0, 21.0, debris=True),
    ),
    "cold-air": ("air of -17 to -7 C and a gate with little to spare", anything, _cold),
    "blown-open": ("exhaust pushes at the valve nearly twice as hard", anything, _blown),
    "seat-ring-missing": (
        "hole of 32 to 36 mm that stays open",
        _outer,
        _leaking(32.0, 36.0, ring="none"),
    ),
    "seat-ring-cocked": ("hole of 14 to 19 mm, and a third of the lift", _outer, _gate(_cocked)),
    "gate-reversed": (
        "exhaust pushes the valve shut",
        _outer,
        _gate(lambda one, _: replace(one, pushes=-1.0)),
    ),
    "gate-undersized": ("bore of 21 to 24 mm", _outer, _gate(_small)),
    "dump-restricted": (
        "a quarter to a third of the flow passes",
        _outer,
        _gate(lambda one, draw: replace(one, passes=draw.uniform(0.24, 0.33))),
    ),
    "preload-excess": ("4 to 6 mm more squeeze and less travel", _inner, _gate(_short_rod)),
    "flapper-ajar": (
        "never closer than 2 to 3.5 mm, and the squeeze of the spring lost",
        _inner,
        _gate(_long_rod),
    ),
    "flapper-worn": (
        "hole of 15 to 19 mm that stays open",
        _inner,
        _leaking(15.0, 19.0, play=True),
    ),
    "flapper-seized-shut": (
        "lift 0, whatever the pressure",
        _inner,
        _gate(lambda one, _: replace(one, stuck_m=0.0)),
    ),
    "flapper-seized-open": (
        "lift of 4 to 8 mm, whatever the pressure",
        _inner,
        _gate(lambda one, draw: replace(one, stuck_m=draw.uniform(4e-3, 8e-3))),
    ),
    "flapper-fouls": ("travel of 3.7 to 4.6 mm", _inner, _travel(3.7e-3, 4.6e-3)),
    "rod-off": (
        "only the exhaust acts on the flapper",
        _inner,
        _gate(lambda one, _: replace(one, joined=False)),
    ),
    "port-limited": ("bore of 21 to 24 mm", _inner, _gate(_small)),
}
