"""Turbo and engine: turned by hand, watched at idle."""

from __future__ import annotations

from typing import Final

from expert.bench.instruments.subject import Answers, Subject

# Where a fade is looked at, and the share of the widest flow that is at the edge: assumed.
EDGE_RPM: Final = 4_500.0
EDGE: Final = 0.93


def turbo_shaft(subject: Subject) -> Answers:
    """The wheel by hand."""
    car = subject.car
    if car.compressor.damage > 0.35:
        return ("broken",)
    worn = car.compressor.damage > 0.0 or car.rubbing_n_m > 0.0
    return ("contact",) if worn else ("free",)


def compressor_map(subject: Subject) -> Answers:
    """Where boost fades on the map of the compressor: how much flow the wheel had left."""
    car = subject.car
    past = False
    for row in subject.mapped:
        top = car.compressor.speed_most
        most = car.compressor.flow_kg_s(top, 1.0, row.ambient_pa, car.place.ambient_k)
        past |= row.rpm > EDGE_RPM and row.air_kg_s > EDGE * most
    return ("past",) if past else ("inside",)


def at_idle(subject: Subject) -> Answers:
    """Plugs, compression and how it idles."""
    engine = subject.car.engine
    if engine.misfire_k > 0.0:
        return ("poor",) if engine.spark < 0.65 else ("odd",)
    return ("sound",)


def mixture_and_knock(subject: Subject) -> Answers:
    """Mixture under load."""
    return ("lean-or-knock",) if subject.car.engine.mixture > 14.5 else ("normal",)
