"""What an owner tells: what was touched, and what alarms. Hoses do not move by themselves."""

from __future__ import annotations

from typing import Final

from expert.bench.instruments.subject import Answers, Subject
from expert.bench.instruments.trace import hose_trace
from expert.bench.rig import RESTRICTOR_BORE_MM
from expert.bench.wastegate import ENOUGH_M


def red_flags(subject: Subject) -> Answers:
    """What nobody could miss."""
    car = subject.car
    found = []
    if car.engine.misfire_k > 0.0:
        found.append("misfire")
    if car.rubbing_n_m > 0.0:
        found.append("metal-noise")
    return tuple(found) or ("none",)


def touched(subject: Subject) -> set[str]:
    """The areas of the car in which something is other than wear would make it."""
    tests = {
        "hoses": _hoses,
        "solenoid": _controller,
        "charge-pipes": _tap,
        "gate": _gate,
        "exhaust": _pipes,
        "map": _map,
        "turbo": _turbo,
        "bypass": _bypass,
    }
    return {area for area, test in tests.items() if test(subject)}


# Hoses come off by themselves, and vacuum valves fail.
_BY_THEMSELVES: Final = frozenset(
    {
        "matches",
        "source-off",
        "gate-hose-off",
        "upper-hose-off",
        "needle-off",
        "bypass-hose-wrong",
    }
)


def _hoses(subject: Subject) -> bool:
    rig = subject.car.rig
    inside = bool(rig.pills_mm or rig.checks or subject.car.one_way)
    return inside or bool(set(hose_trace(subject)) - _BY_THEMSELVES)


def _controller(subject: Subject) -> bool:
    bore_mm = subject.car.rig.restrictors_mm.get("bleed-controller", RESTRICTOR_BORE_MM)
    return bore_mm != RESTRICTOR_BORE_MM or subject.car.setting != subject.sound.setting


def _tap(subject: Subject) -> bool:
    return subject.car.rig.restrictors_mm.get("coupler-tap") is not None


def _gate(subject: Subject) -> bool:
    gate = subject.car.wastegate
    mounted = gate.ring != "square" or gate.pushes < 0.0 or gate.rod_short_m != 0.0
    fitted = gate.spring_made_for != 1.0 or gate.fouls
    outer = "external-gate" in subject.car.rig.parts
    return mounted or fitted or (outer and gate.port_m < ENOUGH_M)


def _pipes(subject: Subject) -> bool:
    gate = subject.car.wastegate
    return gate.passes < 1.0 or gate.port_m < ENOUGH_M


def _map(subject: Subject) -> bool:
    car, usual = subject.car, subject.sound.control
    names = ("table", "gain", "integral", "cut_pa", "made_for", "spool_share")
    changed = any(getattr(car.control, name) != getattr(usual, name) for name in names)
    valve = car.solenoid
    misread = car.sensor.most_pa < subject.sound.sensor.most_pa
    return changed or misread or valve.inverted or valve.slow or valve.ripple_hz > 0.0


def _turbo(subject: Subject) -> bool:
    here, usual = subject.car.compressor, subject.sound.compressor
    return here.diameter_m != usual.diameter_m or here.flow_surge != usual.flow_surge


def _bypass(subject: Subject) -> bool:
    here, usual = subject.car.bypass, subject.sound.bypass
    return here.reference != usual.reference or here.spring_pa != usual.spring_pa


def what_changed(subject: Subject) -> Answers:
    """Whether work was done just before."""
    return ("just-fitted",) if touched(subject) else ("nothing",)


def worked_on(subject: Subject) -> Answers:
    """Which areas the work was in."""
    return tuple(sorted(touched(subject)))
