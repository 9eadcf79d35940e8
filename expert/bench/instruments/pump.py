"""A hand pump at the gate: what moves, at what pressure, how far, and whether it holds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from expert.bench.instruments.subject import UNKNOWN, Answers, Subject, breathing
from expert.bench.instruments.trace import (
    CAN,
    INLET,
    LOWER,
    SPARE,
    UPPER,
    WATER,
    far_end,
    is_open,
    valve_of,
)
from expert.bench.rig import INSIDE, Port, Rig, Setting
from expert.bench.wastegate import Wastegate

# Without a sheet nobody pumps further than this share of the rating: as the steps of a test say.
LIMIT: Final = 1.5
# Movements that a person sees, and a stroke that is clear; assumed.
SEEN_M: Final = 2e-4
CLEAR_M: Final = 1e-3
# A diaphragm with a larger share of its hold gone lets a hand pump build nothing: assumed.
TORN: Final = 0.3
# Drag beyond this share of the preload is felt: assumed.
DRAGS: Final = 0.05
_STEPS: Final = 90

Hold = Literal["steady", "slow-fall", "wont-hold"]


@dataclass(frozen=True, slots=True)
class Pumped:
    """What a pump does: the share of its pressure below and above the diaphragm, and its hold."""

    lower: float
    upper: float
    hold: Hold


def gate_hose_port(subject: Subject) -> Port:
    """The port that really carries the gate hose; the lower one where none does."""
    layout, rig = subject.sound.rig, subject.car.rig
    if CAN in {port for hose in layout.hoses for port in hose}:
        return CAN
    if "two-signals" in layout.parts:
        start = far_end(layout, LOWER)
        end = far_end(rig, start) if start is not None else None
        return end if end in (LOWER, UPPER, WATER) else LOWER
    return next((port for port in (LOWER, UPPER, WATER) if far_end(rig, port)), LOWER)


def pumped(subject: Subject, port: Port | None = None) -> Pumped:
    """Air pumped into a port of the gate, its hoses off but for those between its own ports."""
    rig, gate = subject.car.rig, subject.car.wastegate
    port = gate_hose_port(subject) if port is None else port
    if port == WATER:
        return Pumped(0.0, 0.0, "wont-hold")
    if gate.torn > TORN:
        return Pumped(1.0 - gate.torn, 0.0, "wont-hold")
    if far_end(rig, LOWER) == UPPER or any(set(hose) == {LOWER, UPPER} for hose in rig.hoses):
        return Pumped(1.0, 1.0, "steady")
    if port == UPPER:
        return Pumped(0.0, 1.0, "steady")
    if port == LOWER and is_open(rig, SPARE) and "external-gate" in rig.parts:
        return Pumped(0.0, 0.0, "wont-hold")
    return Pumped(1.0, 0.0, "steady")


def stroke_m(subject: Subject, pressure_pa: float, port: Port | None = None) -> float:
    """How far the valve moves from where it rests, the engine standing."""
    gate = subject.car.wastegate
    if gate.shut_in_m3 is not None and UPPER not in subject.car.rig.capped:
        # The upper hose is off for the test, so that side breathes.
        gate = breathing(gate)
    air = pumped(subject, port)
    return _lift_m(gate, air, pressure_pa, subject) - _lift_m(gate, air, 0.0, subject)


def _lift_m(gate: Wastegate, air: Pumped, pressure_pa: float, subject: Subject) -> float:
    lift = 0.0
    ambient_pa = subject.car.place.ambient_pa
    gate = replace(gate, torn=0.0)
    for _ in range(_STEPS):
        wanted = gate.lift_m(
            lift, air.lower * pressure_pa, air.upper * pressure_pa, 0.0, ambient_pa
        )
        lift += 0.3 * (wanted - lift)
    return lift


def pump_hosed_port(subject: Subject) -> Answers:
    """Pumped slowly up to the limit."""
    if stroke_m(subject, LIMIT * subject.car.spring_pa) > SEEN_M:
        return ("opens",)
    return ("seats-harder",) if pumped(subject).upper > pumped(subject).lower else ("nothing",)


def first_movement(subject: Subject) -> Answers:
    """The pressure at the first movement, against the rating."""
    rating = subject.car.spring_pa
    for step in range(1, _STEPS + 1):
        share = LIMIT * step / _STEPS
        if stroke_m(subject, share * rating) > SEEN_M:
            if share < 0.85:
                return ("low",)
            return ("within-15",) if share <= 1.15 else ("high",)
    return ("none",)


def travel_at_20(subject: Subject) -> Answers:
    """The stroke at 20 % over the rating."""
    stroke = stroke_m(subject, 1.2 * subject.car.spring_pa)
    if stroke < SEEN_M:
        return ("none",)
    gate, usual = subject.car.wastegate.gate, subject.sound.wastegate.gate
    stops = stroke > 0.98 * gate.travel_m and gate.travel_m < 0.6 * usual.travel_m
    return ("short",) if stroke < CLEAR_M or stops else ("full",)


def hold_60s(subject: Subject) -> Answers:
    """The needle for a minute."""
    return (pumped(subject).hold,)


def release(subject: Subject) -> Answers:
    """Let down slowly from open."""
    gate = subject.car.wastegate
    open_m = gate.ajar_m if gate.stuck_m is None else gate.stuck_m
    if open_m > CLEAR_M or gate.debris or not gate.joined:
        # It is open, or its lever is not held, before anything is pumped.
        return ("stays-open",)
    if stroke_m(subject, LIMIT * subject.car.spring_pa) <= SEEN_M:
        return UNKNOWN
    return ("jerky",) if gate.gate.friction_n > DRAGS * gate.gate.preload_n else ("smooth",)


def spare_lowers(subject: Subject) -> Answers:
    """The lower ports beside the one with the gate hose."""
    rig, port = subject.car.rig, gate_hose_port(subject)
    bare = [one for one in (LOWER, SPARE) if one != port and is_open(rig, one)]
    return ("open",) if bare else ("capped",)


def upper_breathes(subject: Subject) -> Answers:
    """A finger at the open upper port while the port of the gate hose is pumped."""
    if not is_open(subject.car.rig, UPPER):
        return ("none",)
    return _puff(subject, gate_hose_port(subject))


def upper_puffs(subject: Subject) -> Answers:
    """A finger at the end of the vent hose while the lower port is pumped."""
    return _puff(subject, LOWER) if UPPER in _joined(subject, INLET) else ("none",)


def _puff(subject: Subject, port: Port) -> Answers:
    if subject.car.wastegate.torn > TORN:
        return ("weak",)
    moves = stroke_m(subject, LIMIT * subject.car.spring_pa, port) > SEEN_M
    return ("puff",) if moves else ("none",)


def _joined(subject: Subject, start: Port) -> set[Port]:
    """The ports that air reaches from one through hoses, and through the solenoid at rest."""
    rig = subject.car.rig
    links = [hose for hose in rig.hoses if _passes(rig, hose)]
    valve = valve_of(rig)
    rests = "powered" if subject.car.solenoid.stuck == 1.0 else "rest"
    if valve is not None:
        links += [(w.a, w.b) for w in INSIDE[valve](rig, Setting(0.0)) if w.state == rests]
    found, fresh = {start}, [start]
    while fresh:
        here = fresh.pop()
        for one, other in links:
            if here in (one, other):
                there = other if here == one else one
                if there not in found:
                    found.add(there)
                    fresh.append(there)
    return found


def _passes(rig: Rig, hose: tuple[Port, Port]) -> bool:
    """Does a puff from the gate pass this hose?"""
    blocked = min(rig.bores_mm.get(hose, 4.0), rig.pills_mm.get(hose, 4.0)) <= 0.0
    against = hose in rig.checks and hose[1] in (UPPER, LOWER)
    return not blocked and not against


def upper_hold(subject: Subject) -> Answers:
    """The spring side pumped up through its hose."""
    rig = subject.car.rig
    if subject.car.wastegate.torn > TORN or is_open(rig, UPPER):
        return ("wont-hold",)
    return UNKNOWN if UPPER in rig.capped else ("holds",)


def air_or_water(subject: Subject) -> Answers:
    """Which kind of port the gate hose is on, by the drawing of the gate."""
    return ("water",) if far_end(subject.car.rig, WATER) else ("air",)
