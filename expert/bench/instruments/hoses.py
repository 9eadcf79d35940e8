"""Hoses, pills and taps: looked at, blown through, tugged."""

from __future__ import annotations

from typing import Final

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.flow import conductance_of_bore
from expert.bench.instruments.subject import UNKNOWN, Answers, Subject
from expert.bench.instruments.trace import (
    CAN,
    INLET,
    LONG_M,
    LOWER,
    SOURCES,
    UPPER,
    far_end,
    ports_of,
    valve_of,
)
from expert.bench.pneumatics import Network, Way, steady, way_flow_kg_s
from expert.bench.rig import AIR, HOSE_BORE_MM, INSIDE, Port, Rig, Setting

# Below this bore a hose blows hard; below the next it is as good as shut. Assumed.
TIGHT_MM: Final = 1.0
SHUT_MM: Final = 0.05
# Air fed in for a test, and what a clear and a choked hose pass of it: assumed.
TEST_PA: Final = 50e3
CLEAR_SHARE: Final = 0.4
FAINT_SHARE: Final = 0.01
# A supply with the hose of a workshop passes about what this hole does: assumed.
FEED_MM: Final = 18.0


def signal_hoses(rig: Rig) -> list[tuple[Port, Port]]:
    """The source, gate and upper hoses."""
    ends = {*SOURCES, CAN, LOWER, UPPER}
    return [hose for hose in rig.hoses if set(hose) & ends]


def hose_condition(subject: Subject) -> Answers:
    """What the source, gate and upper hoses look like, and whether they hold."""
    rig = subject.car.rig
    used = {port for hose in rig.hoses for port in hose}
    off = any(not set(hose) & used for hose in signal_hoses(subject.sound.rig))
    if off or rig.splits_mm:
        return ("cracked-or-off",)
    return ("long",) if subject.car.hose_m > LONG_M else ("sound-short",)


def hose_blow(subject: Subject) -> Answers:
    """Blowing through the source, gate and upper hoses, from their source to their gate."""
    rig = subject.car.rig
    if subject.car.wet:
        return ("wet",)
    for hose in signal_hoses(rig):
        if rig.pills_mm.get(hose, HOSE_BORE_MM) < TIGHT_MM:
            return ("blocked",)
        if rig.bores_mm.get(hose, HOSE_BORE_MM) < TIGHT_MM:
            return ("pinched",)
        if hose in rig.checks and hose[0] in (CAN, LOWER):
            return ("blocked",)
    return ("clear",)


def pills_and_valves(subject: Subject) -> Answers:
    """What sits inside the hoses."""
    rig = subject.car.rig
    if rig.checks or subject.car.one_way:
        return ("valve-found",)
    bleed = "bleed-controller"
    differs = rig.restrictors_mm.get(bleed, 1.0) != subject.sound.rig.restrictors_mm.get(bleed, 1.0)
    return ("pill-differs",) if rig.pills_mm or differs else ("as-table",)


def pill_bore(subject: Subject) -> Answers:
    """The narrowest hole that somebody made, between source and gate."""
    rig, layout = subject.car.rig, subject.sound.rig
    holes = [bore for hose, bore in rig.pills_mm.items() if hose in signal_hoses(rig)]
    for part, usual_mm in _MADE_MM.items():
        bore_mm = rig.restrictors_mm.get(part, usual_mm)
        if part in layout.parts and bore_mm is not None and bore_mm < 0.8 * usual_mm:
            holes.append(bore_mm)
    if not holes:
        return ("open",)
    return ("blocked",) if min(holes) < SHUT_MM else ("narrow",)


_MADE_MM: Final = {"bleed-controller": 1.0}


def source_air(subject: Subject) -> Answers:
    """Air out of the far end of the source hose, with the charge path under test air."""
    start = _jet_kg_s(subject.sound.rig)
    here = _jet_kg_s(subject.car.rig)
    share = here / start * charge_share(subject.car.charge_leak_m2) ** 0.5
    if share < FAINT_SHARE:
        return ("none",)
    return ("strong",) if share > CLEAR_SHARE else ("weak",)


def charge_share(leak_m2: float) -> float:
    """The share of the test pressure that a supply still makes against a hole."""
    feed = (FEED_MM * 1e-3) ** 2 * 0.785
    return feed * feed / (feed * feed + leak_m2 * leak_m2)


def _jet_kg_s(rig: Rig) -> float:
    """The flow out of the source hose's far end, open to the air."""
    hose = next((hose for hose in rig.hoses if _is_source(rig, hose)), None)
    if hose is None:
        return 0.0
    far = hose[1] if _starts(hose[0]) else hose[0]
    near = hose[0] if far == hose[1] else hose[1]
    part = near.split(".")[0]
    ways = [*INSIDE[part](rig, Setting(0.0))] if part in INSIDE else []
    bore_mm = min(rig.bores_mm.get(hose, HOSE_BORE_MM), rig.pills_mm.get(hose, HOSE_BORE_MM))
    opens_pa = 0.0 if hose in rig.checks else None
    ways.append(Way(hose[0], hose[1], conductance_of_bore(bore_mm), opens_pa=opens_pa))
    if hose in rig.splits_mm:
        ways.append(Way(hose[1], AIR, conductance_of_bore(rig.splits_mm[hose])))
    out = Way(far, AIR, conductance_of_bore(HOSE_BORE_MM))
    sources = {
        AIR: SEA_LEVEL_PA,
        "boost": SEA_LEVEL_PA + TEST_PA,
        "manifold": SEA_LEVEL_PA,
        "pump": SEA_LEVEL_PA,
    }
    names = {end for way in (*ways, out) for end in (way.a, way.b)} - set(sources)
    network = Network(dict.fromkeys(sorted(names), 2e-6), sources, [*ways, out])
    found = steady(network, dict.fromkeys(names, SEA_LEVEL_PA))
    return max(way_flow_kg_s(out, found), 0.0)


def _starts(port: Port) -> bool:
    return port in SOURCES[:3] or port in (INLET, "manifold.tap")


def _is_source(rig: Rig, hose: tuple[Port, Port]) -> bool:
    """Is it the hose that brings the signal: from a source, or where the source hose now starts?"""
    starts = [port for port in hose if _starts(port)]
    if not starts:
        return False
    if starts[0] in SOURCES:
        return True
    # On the inlet pipe or the manifold it is the source hose when no other hose brings boost.
    vent = {f"{valve_of(rig)}.vent", "bleed-controller.outlet", "manifold-bypass.signal", UPPER}
    return not any(set(other) & set(SOURCES[:3]) for other in rig.hoses) and not set(hose) & vent


def tap_tug(subject: Subject) -> Answers:
    """Tugging at the tap, with soapy water round its foot."""
    return ("moves",) if subject.car.tap_moves else ("tight",)


def tap_bore(subject: Subject) -> Answers:
    """A lamp behind the tap."""
    bore_mm = subject.car.rig.restrictors_mm.get("coupler-tap", HOSE_BORE_MM)
    if bore_mm is None or bore_mm > TIGHT_MM:
        return ("clear",)
    return ("blind",) if bore_mm < SHUT_MM else ("partly",)


def vent_blow(subject: Subject) -> Answers:
    """Where the hose on the solenoid's vent port leads, and how it blows."""
    layout, rig = subject.sound.rig, subject.car.rig
    valve = valve_of(layout)
    if valve is None:
        return UNKNOWN
    port = next((p for p in ports_of(layout, valve) if far_end(layout, p) == INLET), None)
    if port is None:
        return UNKNOWN
    if port in rig.capped:
        return ("blocked",)
    end = far_end(rig, port)
    if end is None or end == INLET:
        return ("free",)
    if end in SOURCES:
        return ("boosted",)
    return ("blocked",)
