"""Hoses moved, cut, capped, pinched: a rig made of another. Nothing here knows what is right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from expert.bench.rig import Port, Rig


def moved(rig: Rig, to: Mapping[Port, Port]) -> Rig:
    """Every hose end on a port of ``to`` put on the port that it names instead."""
    hoses = tuple((to.get(one, one), to.get(other, other)) for one, other in rig.hoses)
    return replace(rig, hoses=hoses)


def swapped(rig: Rig, one: Port, other: Port) -> Rig:
    """The hose ends on two ports changed for one another."""
    return moved(rig, {one: other, other: one})


def without(rig: Rig, port: Port) -> Rig:
    """The hose on a port taken off at both ends, which leaves both ports open."""
    return replace(rig, hoses=tuple(hose for hose in rig.hoses if port not in hose))


def joined(rig: Rig, one: Port, other: Port) -> Rig:
    """A hose more; the caps on its ends are taken off."""
    return replace(rig, hoses=(*rig.hoses, (one, other)), capped=rig.capped - {one, other})


def capped(rig: Rig, port: Port) -> Rig:
    """A port capped, and the hose that was on it left hanging, open at its far end."""
    bare = without(rig, port)
    return replace(bare, capped=bare.capped | {port})


def uncapped(rig: Rig, port: Port) -> Rig:
    """The cap of a port left off."""
    return replace(rig, capped=rig.capped - {port})


def narrowed(rig: Rig, port: Port, bore_mm: float) -> Rig:
    """The hose on a port with another bore; 0 is blocked."""
    bores = {hose: bore_mm for hose in rig.hoses if port in hose}
    return replace(rig, bores_mm={**rig.bores_mm, **bores})


def pilled(rig: Rig, port: Port, bore_mm: float) -> Rig:
    """A pill in the hose on a port; 0 is one that was never drilled through."""
    pills = {hose: bore_mm for hose in rig.hoses if port in hose}
    return replace(rig, pills_mm={**rig.pills_mm, **pills})


def restricted(rig: Rig, part: str, bore_mm: float | None) -> Rig:
    """The restrictor of a part with another bore; 0 is blocked, None is missing."""
    return replace(rig, restrictors_mm={**rig.restrictors_mm, part: bore_mm})


def split(rig: Rig, port: Port, bore_mm: float) -> Rig:
    """A hole in the hose on a port, at the end of that port."""
    hoses, splits = [], dict(rig.splits_mm)
    for hose in rig.hoses:
        turned = (hose[1], hose[0]) if hose[0] == port else hose
        hoses.append(turned)
        if port in turned:
            splits[turned] = bore_mm
    return replace(rig, hoses=tuple(hoses), splits_mm=splits)


def checked(rig: Rig, port: Port, *, towards: bool) -> Rig:
    """A check valve in the hose on a port, that passes towards the port or away from it."""
    hoses, checks = [], set(rig.checks)
    for one, other in rig.hoses:
        hose = (one, other)
        if port in hose:
            far = other if one == port else one
            hose = (far, port) if towards else (port, far)
            checks.add(hose)
        hoses.append(hose)
    return replace(rig, hoses=tuple(hoses), checks=frozenset(checks))


def on(rig: Rig, *ports: Port) -> Port:
    """The first of these ports that a hose is on. Raises ValueError when none is."""
    used = {port for hose in rig.hoses for port in hose}
    for port in ports:
        if port in used:
            return port
    raise ValueError(f"no hose on {', '.join(ports)}")


def gate_port(rig: Rig) -> Port:
    """Where the signal reaches the gate."""
    return on(rig, "internal-gate.nipple", "external-gate.lower")


def source_port(rig: Rig) -> Port:
    """Where the signal is taken."""
    taps = ("housing-nipple.nipple", "coupler-tap.tap", "charge-path.pre-throttle-tap")
    return on(rig, *taps)
