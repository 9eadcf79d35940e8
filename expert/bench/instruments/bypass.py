"""The bypass valve: vacuum in its hose, on the bench, and whether there is one at all."""

from __future__ import annotations

from expert.bench.instruments.subject import UNKNOWN, Answers, Subject


def vacuum_when(subject: Subject) -> Answers:
    """When there is vacuum in the hose at the valve."""
    valve, usual = subject.car.bypass, subject.sound.bypass
    if usual.reference == "none":
        return UNKNOWN
    if usual.reference == "vacuum":
        if valve.opens_in_boost:
            return ("in-boost",)
        return ("as-layout",) if valve.opens_on_lift else ("never",)
    return ("as-layout",) if valve.reference == usual.reference else ("never",)


def vacuum_hold(subject: Subject) -> Answers:
    """Hand vacuum on its spout; a hole past the valve itself is found on the bench."""
    return ("wont-hold",) if subject.car.bypass.leak_m2 > 0.0 else ("holds",)


def bench_air(subject: Subject) -> Answers:
    """Air and vacuum on the bench."""
    valve, usual = subject.car.bypass, subject.sound.bypass
    if valve.leak_m2 > 0.0:
        return ("leaks",)
    stiff = not 0.5 < valve.spring_pa / usual.spring_pa < 2.0
    return ("early-or-stiff",) if stiff else ("tight",)


def look(subject: Subject) -> Answers:
    """What lets the charge air out when the throttle shuts."""
    return ("none-fitted",) if subject.car.bypass.reference == "none" else ("valve",)
