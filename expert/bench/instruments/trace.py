"""Tracing hoses: where each end sits, against where the table of the setup has it."""

from __future__ import annotations

from typing import Final

from expert.bench.instruments.subject import Answers, Subject
from expert.bench.rig import Port, Rig

SOURCES: Final = (
    "housing-nipple.nipple",
    "coupler-tap.tap",
    "charge-path.pre-throttle-tap",
    "signal-tee.other",
)
CAN, LOWER, UPPER = "internal-gate.nipple", "external-gate.lower", "external-gate.upper"
SPARE, WATER = "external-gate.spare-lower", "external-gate.water-in"
INLET, MANIFOLD = "inlet-pipe.tap", "manifold.tap"
VALVES: Final = ("three-port", "four-port")
CONTROLLERS: Final = ("ball-controller", "bleed-controller")
# Hoses longer than this are needlessly long: assumed.
LONG_M: Final = 2.0

_ROLES: Final = {
    **dict.fromkeys(SOURCES, "source"),
    CAN: "gate",
    LOWER: "gate",
    UPPER: "upper",
    INLET: "vent",
}


def far_end(rig: Rig, port: Port) -> Port | None:
    """The other end of the hose on a port; None where none is."""
    for one, other in rig.hoses:
        if port in (one, other):
            return other if port == one else one
    return None


def ports_of(rig: Rig, part: str) -> list[Port]:
    """The ports of a part that hoses are on."""
    return sorted({port for hose in rig.hoses for port in hose if port.split(".")[0] == part})


def valve_of(rig: Rig) -> str | None:
    """The solenoid valve of a car."""
    return next((part for part in VALVES if part in rig.parts), None)


def role(rig: Rig, port: Port) -> str | None:
    """What the hose on a port is, by its far end: source, gate, upper or vent."""
    end = far_end(rig, port)
    return None if end is None else _ROLES.get(end)


def roles(subject: Subject, part: str) -> tuple[dict[Port, str | None], dict[Port, str | None]]:
    """By port of a part: the hose that belongs there, and the one that is there."""
    layout, rig = subject.sound.rig, subject.car.rig
    ports = ports_of(layout, part)
    return {p: role(layout, p) for p in ports}, {p: role(rig, p) for p in ports}


def is_open(rig: Rig, port: Port) -> bool:
    """Does a port stand open, with neither hose nor cap?"""
    return far_end(rig, port) is None and port not in rig.capped


def hose_trace(subject: Subject) -> Answers:
    """Every end of every hose against the table, then caps and bare ports."""
    found: list[str] = []
    crossed = _crossed(subject)
    if crossed is not None:
        found.append(crossed)
    else:
        found += _missing(subject) + _moved(subject)
    found += _caps(subject)
    if subject.car.bypass.reference != subject.sound.bypass.reference:
        found.append("bypass-hose-wrong")
    if subject.car.hose_m > LONG_M:
        found.append("long-route")
    return tuple(dict.fromkeys(found)) or ("matches",)


def _crossed(subject: Subject) -> str | None:
    """Hoses that have changed places, at the solenoid, the controller or the gate."""
    layout, rig = subject.sound.rig, subject.car.rig
    for part in (*VALVES, *CONTROLLERS):
        right, there = roles(subject, part)
        wrong = [port for port in right if right[port] != there[port]]
        if not wrong or sorted(map(str, right.values())) != sorted(map(str, there.values())):
            continue
        if part in CONTROLLERS:
            return "controller-reversed"
        if len(wrong) > 2:
            return "ports-rotated"
        return _PAIRS.get(frozenset(str(right[port]) for port in wrong))
    ends = far_end(layout, LOWER), far_end(layout, UPPER)
    if None not in ends and ends == (far_end(rig, UPPER), far_end(rig, LOWER)):
        return "gate-upper-crossed"
    return None


_PAIRS: Final = {
    frozenset({"source", "vent"}): "source-vent-crossed",
    frozenset({"gate", "source"}): "gate-source-crossed",
    frozenset({"gate", "vent"}): "gate-vent-crossed",
    frozenset({"gate", "upper"}): "gate-upper-crossed",
    frozenset({"source", "upper"}): "source-upper-crossed",
    frozenset({"upper", "vent"}): "upper-vent-crossed",
}


def _missing(subject: Subject) -> list[str]:
    """Hoses of the table that are off."""
    layout, rig = subject.sound.rig, subject.car.rig
    used = {port for hose in rig.hoses for port in hose}
    found = []
    for hose in layout.hoses:
        if set(hose) & used:
            continue
        if set(hose) & {CAN, LOWER}:
            found.append("gate-hose-off")
        elif UPPER in hose:
            found.append("upper-hose-off")
        elif set(hose) & set(SOURCES):
            found.append("source-off")
        elif "bleed-controller.branch" in hose:
            found.append("needle-off")
        elif not set(hose) & rig.capped:
            found.append("wrong-port")
    return found


def _moved(subject: Subject) -> list[str]:
    """Hoses that lead where the table has none."""
    layout, rig = subject.sound.rig, subject.car.rig
    right = {frozenset(hose) for hose in layout.hoses}
    found = []
    for hose in rig.hoses:
        if frozenset(hose) in right:
            continue
        ends = set(hose)
        if MANIFOLD in ends and UPPER not in ends:
            found.append("after-throttle")
        elif UPPER in ends and "two-signals" not in layout.parts:
            found.append("upper-fed")
        else:
            found.append("wrong-port")
    return found


def _caps(subject: Subject) -> list[str]:
    """Caps that are missing, or that cover what must be open."""
    layout, rig = subject.sound.rig, subject.car.rig
    missing = any(is_open(rig, port) for port in layout.capped)
    covered = [port for port in rig.capped - layout.capped if port not in SOURCES]
    return ["cap-wrong"] if missing or covered else []
