"""Controllers by hand: how they sit, how they are set, and what they do off the car."""

from __future__ import annotations

from typing import Final

from expert.bench.instruments.hoses import SHUT_MM
from expert.bench.instruments.subject import UNKNOWN, Answers, Subject
from expert.bench.instruments.trace import CONTROLLERS, far_end, hose_trace
from expert.bench.rig import BALL_SEAT, RESTRICTOR_BORE_MM

# Screws are read as exactly as this share of their travel: assumed.
_READ: Final = 0.05


def controller(subject: Subject) -> Answers:
    """How it sits and how it is set."""
    if not any(part in subject.car.rig.parts for part in CONTROLLERS):
        return UNKNOWN
    if "controller-reversed" in hose_trace(subject):
        return ("reversed",)
    if subject.car.rig.restrictors_mm.get("ball-controller", 1.0) == 0.0:
        return ("plugged",)
    here, told = subject.car.setting or 0.0, subject.sound.setting or 0.0
    if here < _READ < told:
        return ("lowest",)
    return ("right",) if abs(here - told) < _READ else ("setting",)


def ball_bench(subject: Subject) -> Answers:
    """The ball controller off the car, wound out and in."""
    if subject.car.rig.restrictors_mm.get(BALL_SEAT, 1.0) == 0.0:
        return ("shut",)
    return ("leaks",) if subject.car.controller_gives < 0.5 else ("lifts",)


def restrictor_bore(subject: Subject) -> Answers:
    """The restrictor before the tee of the bleed controller."""
    bore_mm = subject.car.rig.restrictors_mm.get("bleed-controller", RESTRICTOR_BORE_MM)
    if bore_mm is None or bore_mm > 1.5 * RESTRICTOR_BORE_MM:
        return ("none-or-wide",)
    if bore_mm < SHUT_MM:
        return ("blocked",)
    return ("fine",) if bore_mm < 0.8 * RESTRICTOR_BORE_MM else ("as-sheet",)


def needle_blow(subject: Subject) -> Answers:
    """Blowing into the needle's hose at the tee."""
    if far_end(subject.car.rig, "bleed-controller.branch") != "bleed-controller.needle":
        return ("early",)
    return ("shut",) if subject.car.controller_gives < 0.5 else ("free",)
