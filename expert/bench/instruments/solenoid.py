"""The boost solenoid: blown through, pumped up, measured, listened to."""

from __future__ import annotations

from typing import Final

from expert.bench.control import BATTERY_V, COIL_OHM
from expert.bench.instruments.subject import UNKNOWN, Answers, Subject
from expert.bench.instruments.trace import roles, valve_of
from expert.bench.rig import INSIDE, Setting

Pairs = frozenset[frozenset[str]]

# A valve that passes this share of its flow where it should be shut leaks clearly: assumed.
LEAKS: Final = 0.15
_FULL: Final = 1.0


def _pairs(subject: Subject, driven: bool) -> Pairs:
    """Which hoses' ports are joined; ports keep the names of their hoses."""
    valve = valve_of(subject.car.rig)
    state = "powered" if driven else "rest"
    ways = [] if valve is None else INSIDE[valve](subject.car.rig, Setting(0.0))
    return frozenset(
        frozenset({_name(subject, way.a), _name(subject, way.b)})
        for way in ways
        if way.state == state
    )


def _name(subject: Subject, port: str) -> str:
    """A port by the hose that sat on it; by what is printed there where the hoses do not say."""
    layout = subject.sound.rig
    valve = valve_of(layout)
    right, there = roles(subject, valve) if valve is not None else ({}, {})
    crossed = sorted(map(str, right.values())) == sorted(map(str, there.values()))
    name = str((there if crossed else right).get(port) or port)
    if valve == "three-port" and name in ("gate", "upper"):
        return "upper" if "two-signals" in layout.parts else "gate"
    return name


def _at_rest(subject: Subject) -> bool:
    """Is the plunger where it is when driven, with no power on it?"""
    return subject.car.solenoid.stuck == _FULL


def _right(subject: Subject, driven: bool) -> Pairs:
    return _pairs(Subject(subject.sound, subject.sound), driven)


def blow_unpowered(subject: Subject) -> Answers:
    """Blowing through the solenoid without power."""
    if valve_of(subject.car.rig) is None:
        return UNKNOWN
    if subject.car.solenoid.leak > LEAKS:
        return ("all-leak",)
    found = _pairs(subject, _at_rest(subject))
    if found == _right(subject, driven=False):
        return ("right-pair",)
    return ("source-to-vent",) if frozenset({"source", "vent"}) in found else ("other-pair",)


def blow_energised(subject: Subject) -> Answers:
    """Blowing through it on a fused lead."""
    if valve_of(subject.car.rig) is None:
        return UNKNOWN
    if not subject.car.solenoid.moves:
        return ("no-change",)
    found = _pairs(subject, driven=True)
    if found == _right(subject, driven=True):
        return ("right-pair",)
    if frozenset({"source", "vent"}) in found:
        return ("source-to-vent",)
    if found == _right(subject, driven=False):
        return ("source-to-gate",)
    return UNKNOWN


def holds(subject: Subject) -> Answers:
    """Pumped up where it should be shut."""
    return ("fast-fall",) if subject.car.solenoid.leak > LEAKS else ("holds",)


def coil_ohms(subject: Subject) -> Answers:
    """A meter across its pins."""
    ohm = subject.car.solenoid.coil_ohm
    if ohm < 5.0 or ohm > 1_000.0:
        return ("open-or-short",)
    return ("on-sheet",) if abs(ohm / COIL_OHM - 1.0) < 0.2 else ("off-20",)


def supply(subject: Subject) -> Answers:
    """The plug looked at, and a meter on its supply pin."""
    valve = subject.car.solenoid
    if not valve.plugged:
        return ("plug-off",)
    if valve.supply_v < 1.0:
        return ("none",)
    return ("battery",) if valve.supply_v > BATTERY_V - 1.0 else ("low",)


def control_wire(subject: Subject) -> Answers:
    """The control wire to ground, key off."""
    ohm = subject.car.solenoid.ground_ohm
    if ohm > 1_000.0:
        return ("no-short",)
    return ("short",) if ohm < 10.0 else ("partial",)


def control_continuity(subject: Subject) -> Answers:
    """The control wire from end to end."""
    return ("continuous",) if subject.car.solenoid.wire_ohm < 5.0 else ("open",)


def click(subject: Subject) -> Answers:
    """A finger on it in an output test: does the plunger follow?"""
    valve = subject.car.solenoid
    return ("silent",) if valve.driven(0.0) == valve.driven(_FULL) else ("crisp",)


def duty_direction(subject: Subject) -> Answers:
    """Blown through at no duty and at full duty, on its own plug."""
    valve = subject.car.solenoid
    unplugged = float(_at_rest(subject))
    at_none, at_full = valve.driven(0.0), valve.driven(_FULL)
    if valve.leak > LEAKS:
        return UNKNOWN
    if at_none == at_full:
        return ("no-change",) if at_none == unplugged else ("always-driven",)
    return ("resting-pair",) if at_none < at_full else ("reversed",)


def valve_and_table(subject: Subject) -> Answers:
    """The number on the valve, its sheet, and what the table was made for."""
    car = subject.car
    if car.control.made_for and car.control.made_for != valve_of(car.rig):
        return ("three-port-table",)
    map_hz = car.solenoid.ripple_hz or car.control.hertz
    far = not 0.6 < map_hz / car.solenoid.sheet_hz < 1.7
    return ("frequency-off",) if far else ("match",)
