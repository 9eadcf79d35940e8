"""Faults of hoses, ports, taps and hand controllers; the network says what the gate sees."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from expert.bench.car import Car, hole_m2, with_rig
from expert.bench.fits import Fits, anything, both, has, one_signal, two_signals
from expert.bench.hosework import (
    capped,
    checked,
    gate_port,
    joined,
    moved,
    narrowed,
    pilled,
    restricted,
    source_port,
    split,
    swapped,
    uncapped,
    without,
)
from expert.bench.rig import BALL_SEAT, PINCHED_BORE_MM, Rig

Change = Callable[[Car, random.Random], Car]

NO, COM, NC = "three-port.normally-open", "three-port.common", "three-port.normally-closed"
P, V, L, U = (f"four-port.{port}" for port in ("pressure", "vent", "lower-side", "upper-side"))
LOWER, UPPER = "external-gate.lower", "external-gate.upper"
SPARE, WATER = "external-gate.spare-lower", "external-gate.water-in"
BALL_IN, BALL_OUT = "ball-controller.inlet", "ball-controller.outlet"
FEED, GATE, BRANCH = (f"bleed-controller.{port}" for port in ("feed", "gate", "branch"))


def _rig(change: Callable[[Rig], Rig]) -> Change:
    return lambda car, _: with_rig(car, change(car.rig))


def _permuted(to: dict[str, str]) -> Change:
    return _rig(lambda rig: moved(rig, to))


def _pair(one: str, other: str) -> Change:
    return _rig(lambda rig: swapped(rig, one, other))


def _vent_on_boost(rig: Rig) -> Rig:
    port = V if "four-port" in rig.parts else _vent_of(rig)
    return joined(without(rig, port), port, "charge-path.pre-throttle-tap")


def _vent_of(rig: Rig) -> str:
    return NO if "two-signals" in rig.parts else NC


def _blocked_vent(rig: Rig) -> Rig:
    return capped(rig, V if "four-port" in rig.parts else _vent_of(rig))


def _off(car: Car, draw: random.Random) -> Car:
    port = gate_port(car.rig) if draw.random() < 0.5 else source_port(car.rig)
    return with_rig(car, without(car.rig, port))


def _leak(car: Car, draw: random.Random) -> Car:
    return with_rig(car, split(car.rig, gate_port(car.rig), draw.uniform(1.2, 2.2)))


def _pinched(car: Car, draw: random.Random) -> Car:
    bore = PINCHED_BORE_MM * draw.uniform(0.8, 1.2)
    return with_rig(car, narrowed(car.rig, gate_port(car.rig), bore))


def _left_in(car: Car, draw: random.Random) -> Car:
    return with_rig(car, pilled(car.rig, gate_port(car.rig), draw.uniform(0.5, 0.7)))


def _moved_source(to: str) -> Callable[[Rig], Rig]:
    """The source hose on another port, and a cap where it was."""

    def change(rig: Rig) -> Rig:
        port = source_port(rig)
        elsewhere = moved(rig, {port: to})
        return replace(elsewhere, capped=elsewhere.capped | {port})

    return change


def _loose_tap(car: Car, draw: random.Random) -> Car:
    leaking = split(car.rig, source_port(car.rig), draw.uniform(2.4, 3.2))
    leak_m2 = car.charge_leak_m2 + hole_m2(5.0)
    return replace(car, rig=leaking, charge_leak_m2=leak_m2, tap_moves=True)


def _shrouded(car: Car, draw: random.Random) -> Car:
    return replace(
        with_rig(car, restricted(car.rig, "coupler-tap", 0.6)),
        signal_share=car.signal_share * draw.uniform(0.65, 0.85),
    )


def _lagging(low: float, high: float, **found: object) -> Change:
    return lambda car, draw: replace(
        car,
        extra_lag_s=car.extra_lag_s + draw.uniform(low, high),
        **found,  # type: ignore[arg-type]
    )


def _shut_in(change: Callable[[Rig], Rig]) -> Change:
    def shut(car: Car, draw: random.Random) -> Car:
        gate = replace(car.wastegate, shut_in_m3=draw.uniform(36e-6, 50e-6))
        return replace(car, rig=change(car.rig), wastegate=gate)

    return shut


def _upper_capped(rig: Rig) -> Rig:
    return capped(rig, UPPER)


def _setting(change: Callable[[float, random.Random], float]) -> Change:
    return lambda car, draw: replace(
        car, setting=min(max(change(car.setting or 0.0, draw), 0.0), 1.0)
    )


def _restrictor(bore_mm: float | None) -> Change:
    return _rig(lambda rig: restricted(rig, "bleed-controller", bore_mm))


def _gives_nothing(car: Car, _: random.Random) -> Car:
    return replace(car, controller_gives=0.0)


_three_one = both(has("three-port"), one_signal)
_three_two = both(has("three-port"), two_signals)
_outer_one = both(has("external-gate"), one_signal)
_outer = has("external-gate")
_four = has("four-port")
_NETWORK = "hoses of the network"

SIGNAL_FAULTS: Final[dict[str, tuple[str, Fits, Change]]] = {
    "signal-off": (f"{_NETWORK}: hose off at the gate or at its source", anything, _off),
    "signal-leak": (f"{_NETWORK}: hole of 1.2 to 2.2 mm at the gate", anything, _leak),
    "signal-pinched": (f"{_NETWORK}: bore of about 0.4 mm, and the lag of it", anything, _pinched),
    "source-unboosted": (
        f"{_NETWORK}: source on the inlet pipe",
        anything,
        _rig(_moved_source("inlet-pipe.tap")),
    ),
    "source-post-throttle": (
        f"{_NETWORK}: source on the manifold, so it follows the throttle",
        anything,
        _rig(_moved_source("manifold.tap")),
    ),
    "restrictor-left-in": (f"{_NETWORK}: bore of 0.5 to 0.7 mm", anything, _left_in),
    "restrictor-blocked": (
        f"{_NETWORK}: bore of 0",
        anything,
        _rig(lambda rig: pilled(rig, gate_port(rig), 0.0)),
    ),
    "checkvalve-traps": (
        "the gate keeps the most signal it has had",
        anything,
        lambda car, _: replace(car, keeps_signal=True, one_way=True),
    ),
    "checkvalve-blocks": (
        f"{_NETWORK}: check valve away from the gate",
        anything,
        _rig(lambda rig: checked(rig, gate_port(rig), towards=False)),
    ),
    "line-long": (
        "0.2 to 0.45 s more lag of the signal",
        anything,
        _lagging(0.2, 0.45, hose_m=4.0),
    ),
    "line-wet": ("0.15 to 0.6 s more lag of the signal", anything, _lagging(0.15, 0.6, wet=True)),
    "tap-undrilled": (
        f"{_NETWORK}: bore of 0 at the tap",
        has("coupler-tap"),
        _rig(lambda rig: restricted(rig, "coupler-tap", 0.0)),
    ),
    "tap-shrouded": (
        "bore of 0.6 mm at the tap, and 65 to 85 % of the pressure",
        has("coupler-tap"),
        _shrouded,
    ),
    "tap-loose": ("hole at the tap and in the charge pipe", has("coupler-tap"), _loose_tap),
    "source-vent-swap": (f"{_NETWORK}: source and vent changed over", _three_one, _pair(NO, NC)),
    "gate-source-swap": (f"{_NETWORK}: gate and source changed over", _three_one, _pair(COM, NO)),
    "gate-vent-swap": (f"{_NETWORK}: gate and vent changed over", _three_one, _pair(COM, NC)),
    "vent-on-common": (
        f"{_NETWORK}: vent on common, gate at rest, source driven",
        _three_one,
        _permuted({NC: COM, COM: NO, NO: NC}),
    ),
    "source-on-common": (
        f"{_NETWORK}: source on common, vent at rest, gate driven",
        _three_one,
        _permuted({NO: COM, NC: NO, COM: NC}),
    ),
    "vent-blocked": (f"{_NETWORK}: vent capped", _three_one, _rig(_blocked_vent)),
    "vent-boosted": (f"{_NETWORK}: vent on boost", _three_one, _rig(_vent_on_boost)),
    "upper-source-vent-swap": (
        f"{_NETWORK}: source and vent changed over",
        _three_two,
        _pair(NO, NC),
    ),
    "upper-source-swap": (
        f"{_NETWORK}: upper side and source changed over",
        _three_two,
        _pair(COM, NC),
    ),
    "upper-vent-swap": (
        f"{_NETWORK}: upper side and vent changed over",
        _three_two,
        _pair(COM, NO),
    ),
    "upper-source-on-common": (
        f"{_NETWORK}: source on common, upper side at rest",
        _three_two,
        _permuted({NC: COM, COM: NO, NO: NC}),
    ),
    "upper-vent-on-common": (
        f"{_NETWORK}: vent on common, source at rest",
        _three_two,
        _permuted({NC: NO, COM: NC, NO: COM}),
    ),
    "upper-lower-swap": (
        f"{_NETWORK}: both sides of the gate changed over",
        _three_two,
        _pair(LOWER, UPPER),
    ),
    "upper-hose-off": (
        f"{_NETWORK}: upper side open to the air",
        _three_two,
        _rig(lambda rig: without(rig, UPPER)),
    ),
    "upper-vent-blocked": (f"{_NETWORK}: vent capped", two_signals, _rig(_blocked_vent)),
    "upper-vent-boosted": (f"{_NETWORK}: vent on boost", two_signals, _rig(_vent_on_boost)),
    "upper-checkvalve": (
        f"{_NETWORK}: check valve towards the upper side",
        two_signals,
        _rig(lambda rig: checked(rig, UPPER, towards=True)),
    ),
    "upper-shut-in": (
        "air shut in above the diaphragm as a second spring",
        two_signals,
        _shut_in(_upper_capped),
    ),
    "upper-hose-blocked": (
        "air shut in above the diaphragm as a second spring",
        two_signals,
        _shut_in(lambda rig: narrowed(rig, UPPER, 0.0)),
    ),
    "fourport-swap-source-vent": (f"{_NETWORK}: source and vent changed over", _four, _pair(P, V)),
    "fourport-swap-lower-upper": (
        f"{_NETWORK}: lower and upper side changed over",
        _four,
        _pair(L, U),
    ),
    "fourport-swap-source-upper": (
        f"{_NETWORK}: source and upper side changed over",
        _four,
        _pair(P, U),
    ),
    "fourport-swap-vent-lower": (
        f"{_NETWORK}: vent and lower side changed over",
        _four,
        _pair(V, L),
    ),
    "fourport-swap-source-lower": (
        f"{_NETWORK}: source and lower side changed over",
        _four,
        _pair(P, L),
    ),
    "fourport-swap-vent-upper": (
        f"{_NETWORK}: vent and upper side changed over",
        _four,
        _pair(V, U),
    ),
    "fourport-rotated-shut": (
        f"{_NETWORK}: three moved round, source to the upper side at rest, then to the vent",
        _four,
        _permuted({P: U, U: V, V: P}),
    ),
    "fourport-rotated-vented": (
        f"{_NETWORK}: three moved round, source to the vent at rest, then to the lower side",
        _four,
        _permuted({P: V, V: U, U: P}),
    ),
    "fourport-upper-off": (
        f"{_NETWORK}: upper side open to the air",
        _four,
        _rig(lambda rig: without(rig, UPPER)),
    ),
    "uppers-capped": (
        "air shut in above the diaphragm as a second spring",
        _outer_one,
        _shut_in(_upper_capped),
    ),
    "spare-lower-open": (
        f"{_NETWORK}: cap left off",
        _outer,
        _rig(lambda rig: uncapped(rig, SPARE)),
    ),
    "signal-on-upper": (
        f"{_NETWORK}: signal on the upper side, lower side open",
        _outer_one,
        _pair(LOWER, UPPER),
    ),
    "chambers-teed": (
        f"{_NETWORK}: both sides joined",
        _outer_one,
        _rig(lambda rig: joined(rig, LOWER, UPPER)),
    ),
    "signal-on-water": (
        f"{_NETWORK}: signal on a water port, lower side open",
        _outer,
        _permuted({LOWER: WATER}),
    ),
    "upper-on-manifold": (
        f"{_NETWORK}: upper side on the manifold",
        _outer_one,
        _rig(lambda rig: joined(rig, UPPER, "manifold.tap")),
    ),
    "manual-setting-high": (
        "screw 0.2 to 0.4 of its travel further in",
        has("manual-controller"),
        _setting(lambda share, draw: share + draw.uniform(0.2, 0.4)),
    ),
    "manual-setting-low": (
        "screw wound nearly out",
        has("manual-controller"),
        _setting(lambda share, draw: share * draw.uniform(0.0, 0.25)),
    ),
    "manual-reversed": (
        f"{_NETWORK}: in and out changed over",
        has("ball-controller"),
        _pair(BALL_IN, BALL_OUT),
    ),
    "manual-bleed-plugged": (
        "the gate keeps the most signal it has had",
        has("ball-controller"),
        lambda car, _: replace(
            car, rig=restricted(car.rig, "ball-controller", 0.0), keeps_signal=True
        ),
    ),
    "ball-stuck": (
        f"{_NETWORK}: bore of 0",
        has("ball-controller"),
        _rig(lambda rig: restricted(rig, BALL_SEAT, 0.0)),
    ),
    "ball-leaks": ("the ball holds nothing back", has("ball-controller"), _gives_nothing),
    "bleed-reversed": (
        f"{_NETWORK}: feed and gate changed over",
        has("bleed-controller"),
        _pair(FEED, GATE),
    ),
    "bleed-restrictor-missing": (
        f"{_NETWORK}: no restrictor",
        has("bleed-controller"),
        _restrictor(None),
    ),
    "bleed-restrictor-fine": (
        f"{_NETWORK}: restrictor of 0.6 mm",
        has("bleed-controller"),
        _restrictor(0.6),
    ),
    "bleed-needle-shut": (
        f"{_NETWORK}: nothing is let out",
        has("bleed-controller"),
        _gives_nothing,
    ),
    "bleed-needle-off": (
        f"{_NETWORK}: branch open to the air",
        has("bleed-controller"),
        _rig(lambda rig: without(rig, BRANCH)),
    ),
}
