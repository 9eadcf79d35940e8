"""Cars for the tests of the bench: hoses written out by hand, so that no knowledge is needed."""

from __future__ import annotations

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.car import Car, sound_car
from expert.bench.expect import Place
from expert.bench.pull import Row, Segment, run
from expert.bench.rig import Rig

NIPPLE, TAP = "housing-nipple.nipple", "inlet-pipe.tap"
CAN, LOWER, UPPER = "internal-gate.nipple", "external-gate.lower", "external-gate.upper"
NO, COM, NC = "three-port.normally-open", "three-port.common", "three-port.normally-closed"
COMMON = frozenset({"inlet-pipe", "charge-path", "manifold", "turbo"})
INSIDE_CAPS = frozenset({"charge-path.pre-throttle-tap", "manifold.tap"})
OUTSIDE_CAPS = INSIDE_CAPS | {"external-gate.spare-lower"}
PLACE = Place(SEA_LEVEL_PA, 293.15)

RIGS = {
    "internal": Rig(
        COMMON | {"three-port", "internal-gate", "single-signal", "housing-nipple"},
        ((NIPPLE, NO), (COM, CAN), (NC, TAP)),
        INSIDE_CAPS,
    ),
    "tap": Rig(
        COMMON | {"three-port", "internal-gate", "single-signal", "coupler-tap"},
        (("coupler-tap.tap", NO), (COM, CAN), (NC, TAP)),
        INSIDE_CAPS,
    ),
    "vacuum": Rig(
        COMMON
        | {"three-port", "internal-gate", "single-signal", "housing-nipple"}
        | {"recirculating-bypass", "bypass-valve"},
        ((NIPPLE, NO), (COM, CAN), (NC, TAP)),
        INSIDE_CAPS,
    ),
    "external": Rig(
        COMMON | {"three-port", "external-gate", "single-signal", "housing-nipple"},
        ((NIPPLE, NO), (COM, LOWER), (NC, TAP)),
        OUTSIDE_CAPS,
    ),
    "bypass": Rig(
        COMMON
        | {"three-port", "external-gate", "single-signal", "housing-nipple"}
        | {"manifold-bypass", "bypass-valve"},
        ((NIPPLE, NO), (COM, LOWER), (NC, TAP), ("manifold.tap", "manifold-bypass.signal")),
        OUTSIDE_CAPS - {"manifold.tap"},
    ),
    "upper": Rig(
        COMMON | {"three-port", "external-gate", "two-signals", "housing-nipple", "signal-tee"},
        (
            (NIPPLE, "signal-tee.feed"),
            ("signal-tee.one", LOWER),
            ("signal-tee.other", NC),
            (COM, UPPER),
            (NO, TAP),
        ),
        OUTSIDE_CAPS,
    ),
    "four": Rig(
        COMMON | {"four-port", "external-gate", "two-signals", "housing-nipple"},
        (
            (NIPPLE, "four-port.pressure"),
            ("four-port.lower-side", LOWER),
            ("four-port.upper-side", UPPER),
            ("four-port.vent", TAP),
        ),
        OUTSIDE_CAPS,
    ),
    "direct": Rig(
        COMMON | {"internal-gate", "single-signal", "housing-nipple"},
        ((NIPPLE, CAN),),
        INSIDE_CAPS,
    ),
    "ball": Rig(
        COMMON
        | {"ball-controller", "manual-controller", "internal-gate", "single-signal"}
        | {"housing-nipple"},
        ((NIPPLE, "ball-controller.inlet"), ("ball-controller.outlet", CAN)),
        INSIDE_CAPS,
    ),
    "bleed": Rig(
        COMMON
        | {"bleed-controller", "manual-controller", "internal-gate", "single-signal"}
        | {"housing-nipple"},
        (
            (NIPPLE, "bleed-controller.feed"),
            ("bleed-controller.gate", CAN),
            ("bleed-controller.branch", "bleed-controller.needle"),
            ("bleed-controller.outlet", TAP),
        ),
        INSIDE_CAPS,
    ),
}
SPRING_PA = 70e3


def car(name: str, spring_pa: float = SPRING_PA, place: Place = PLACE) -> Car:
    """A sound car with one of the rigs."""
    return sound_car(RIGS[name], spring_pa, place)


def pulled(one: Car, duty: float | None, seconds: float = 14.0) -> list[Row]:
    """A pull in third gear from 2,000 rpm."""
    return [
        row
        for row in run(
            one,
            [
                Segment("roll", 2.0, 0.12, 3, (1_800.0, 2_000.0), duty),
                Segment("pull", seconds, 1.0, 3, None, duty),
            ],
        )
        if row.segment == 1
    ]


def held(one: Car, rpm: float, seconds: float = 6.0, duty: float | None = 0.0) -> Row:
    """The end of full throttle at a constant engine speed, as on a dynamometer."""
    *_, last = run(one, [Segment("pull", seconds, 1.0, 3, (rpm, rpm), duty)])
    return last


def boost_kpa(row: Row) -> float:
    """True boost in the manifold."""
    return (row.manifold_pa - row.ambient_pa) / 1e3


def at_rpm(rows: list[Row], rpm: float) -> Row:
    """The first row past an engine speed."""
    return next(row for row in rows if row.rpm >= rpm)
