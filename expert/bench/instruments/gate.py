"""The gate looked at and taken apart: valve, seat, ring, springs, rod, flapper, pipes."""

from __future__ import annotations

from typing import Final

from expert.bench.instruments.pump import DRAGS
from expert.bench.instruments.subject import UNKNOWN, Answers, Subject
from expert.bench.wastegate import ENOUGH_M

# A bore that is plainly wide enough, beside one that just is: assumed.
WIDE: Final = 1.1


def seat_ring(subject: Subject) -> Answers:
    """The ring between the gate and its flange."""
    found = {"square": "one-square", "tilted": "tilted-or-two", "none": "none"}
    return (found[subject.car.wastegate.ring],)


def light_behind_valve(subject: Subject) -> Answers:
    """A lamp behind the closed valve: what is not closed shines through."""
    gate = subject.car.wastegate
    if gate.leak_m2 <= 0.0:
        return ("dark",)
    return ("full-ring",) if gate.ring == "none" else ("crescent",)


def gate_direction(subject: Subject) -> Answers:
    """Which way round the gate is in the flow."""
    return ("reversed",) if subject.car.wastegate.pushes < 0.0 else ("right",)


def springs_against_chart(subject: Subject) -> Answers:
    """The springs beside the chart of their maker."""
    gate = subject.car.wastegate
    if gate.spring_made_for < 0.9:
        return ("lighter",)
    if gate.spring_made_for > 1.1:
        return ("heavier",)
    return ("shorter",) if gate.spring_sag < 0.9 else ("match",)


def can_number(subject: Subject) -> Answers:
    """The rating behind the number on the can."""
    made_for = subject.car.wastegate.spring_made_for
    if made_for < 0.9:
        return ("lighter",)
    return ("heavier",) if made_for > 1.1 else ("as-thought",)


def dump_bore(subject: Subject) -> Answers:
    """The pipe after the gate."""
    passes = subject.car.wastegate.passes
    if passes > 0.9:
        return ("full",)
    return ("smaller",) if passes > 0.28 else ("crushed",)


def gate_branch(subject: Subject) -> Answers:
    """The branch to the gate, and the size of the gate, beside what this engine takes."""
    port_m = subject.car.wastegate.port_m
    if port_m < ENOUGH_M:
        return ("narrow",)
    return ("wide",) if port_m > WIDE * ENOUGH_M else UNKNOWN


def flapper_swing(subject: Subject) -> Answers:
    """The flapper by hand, the rod off."""
    gate = subject.car.wastegate
    if gate.stuck_m is not None:
        return ("stuck",)
    if gate.play:
        return ("wobbles",)
    if gate.debris or gate.fouls:
        return ("stops-short",)
    drags = gate.gate.friction_n > 2.0 * DRAGS * gate.gate.preload_n
    return ("stuck",) if drags else ("free",)


def rod_preload(subject: Subject) -> Answers:
    """The loose rod beside the lever's pin: how far it must be pulled."""
    # The middle of the 1 to 4 mm that are usual.
    pull_m = 2.5e-3 + subject.car.wastegate.rod_short_m
    if pull_m < 1e-3:
        return ("slack",)
    return ("right",) if pull_m <= 4e-3 else ("excess",)


def rod_clip(subject: Subject) -> Answers:
    """Where the rod meets the lever."""
    return ("fitted",) if subject.car.wastegate.joined else ("missing",)


def flapper_sweep(subject: Subject) -> Answers:
    """The room round the flapper."""
    return ("touches",) if subject.car.wastegate.fouls else ("clear",)
