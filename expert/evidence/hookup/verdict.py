"""The verdict on a plumbing: does it work, what to expect of it, and may the car be driven?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from expert.evidence.hookup.found import Found, as_it_should_be
from expert.evidence.hookup.layout import Layout
from expert.evidence.hookup.moves import Step, Wrong, moves, wrong_ports
from expert.evidence.hookup.physics import PARTIAL, Behaviour, behaviour
from expert.evidence.hookup.repairs import Repair, repairs
from expert.model import Drive

# Gate pressures that differ by less than this share of the source do the same work.
_SAME: Final = 0.08
# Boost that differs by less than this from what the plumbing should make is the same boost.
_MARGIN_PA: Final = 20e3
# A share of the spring under which boost is called low.
_LOW: Final = 0.8
# A flow of air out of the source that can be heard and felt.
_HISS_KG_S: Final = 3e-4
_LATE_S: Final = 0.25
_HELD: Final = "Driven, the gate still gets its air, so boost stays lower than it should be."
_DIFFERS: Final = "The gate does not see what it would with the hoses as in the table."
AT_REST: Final = "0"
HALF: Final = "50"


@dataclass(frozen=True, slots=True)
class Verdict:
    """Everything there is to say of a plumbing.

    ``ok`` means that it works as the layout does, whether or not it looks like it. ``symptoms`` are
    ids by the share of the duty, in percent; ``because`` says in plain sentences what is dangerous
    or amiss.
    """

    layout: Layout
    found: Found
    spring_pa: float
    wrong: tuple[Wrong, ...]
    moves: tuple[Step, ...]
    behaviour: Behaviour
    proper: Behaviour
    symptoms: Mapping[str, tuple[str, ...]]
    drive: Drive
    ok: bool
    because: tuple[str, ...]
    repairs: tuple[Repair, ...] = ()

    @property
    def unusual(self) -> bool:
        """Does it work although it is not as the layout has it?"""
        return self.ok and bool(self.wrong or self.repairs)


def verdict(
    layout: Layout, found: Found, spring_pa: float, source_pa: float | None = None
) -> Verdict:
    """Judge what was found by what it does beside what the layout does.

    ``source_pa`` is the boost at which the gate's pressures are given; twice the spring if it is
    left out.
    """
    at_pa = 2.0 * spring_pa if source_pa is None else source_pa
    proper = behaviour(layout, as_it_should_be(layout), spring_pa, at_pa)
    real = behaviour(layout, found, spring_pa, at_pa)
    wet = _on_water(found)
    by_share = {name: _symptoms(name, real, proper, spring_pa) for name in real.boost_pa}
    by_share[HALF] += by_share.pop(PARTIAL, [])
    symptoms = {name: tuple(dict.fromkeys(found)) for name, found in by_share.items()}
    because = tuple(_because(real, proper, spring_pa, wet))
    ceiling = any("spring-ceiling" in names for names in symptoms.values())
    stop = wet or _unsafe(real, proper, spring_pa)
    works = not stop and not any(symptoms.values()) and _same(real, proper)
    if not works and not because:
        because = (_HELD if ceiling else _DIFFERS,)
    drive: Drive = "stop" if stop else "ok" if works else "caution"
    return Verdict(
        layout,
        found,
        spring_pa,
        tuple(wrong_ports(layout, found)),
        tuple(moves(layout, found)),
        real,
        proper,
        symptoms,
        drive,
        works,
        because,
        tuple(repairs(layout, found)),
    )


def _on_water(found: Found) -> bool:
    """Does a hose of the signal sit on a port that carries coolant?"""
    ports = {port for pair in found.hoses for port in pair}
    return any(".water-" in port for port in ports)


def _same(real: Behaviour, proper: Behaviour) -> bool:
    slack = _SAME * real.source_pa
    return (
        all(abs(real.sights[k].net_pa - proper.sights[k].net_pa) <= slack for k in real.sights)
        and real.bypass == proper.bypass
        and not _hisses(real, proper)
    )


def _hisses(real: Behaviour, proper: Behaviour) -> bool:
    return any(
        real.sights[k].lost_kg_s > proper.sights[k].lost_kg_s + _HISS_KG_S for k in real.sights
    )


def _unsafe(real: Behaviour, proper: Behaviour, spring_pa: float) -> bool:
    """Is boost without a limit, or well over the spring, where it should be limited?"""
    return any(
        proper.boost_pa[name] is not None and _too_high(real.boost_pa[name], proper.boost_pa[name])
        for name in real.boost_pa
    )


def _too_high(boost_pa: float | None, proper_pa: float | None) -> bool:
    if proper_pa is None:
        return False
    return boost_pa is None or boost_pa > proper_pa + _MARGIN_PA


def _symptoms(name: str, real: Behaviour, proper: Behaviour, spring_pa: float) -> list[str]:
    boost_pa, proper_pa = real.boost_pa[name], proper.boost_pa[name]
    found = []
    if _too_high(boost_pa, proper_pa):
        found.append("overboost")
    if real.bypass.driving or real.off_boost_pa >= spring_pa or real.kept_pa >= spring_pa:
        found.append("lazy")
    if boost_pa is not None and _too_low(name, boost_pa, proper_pa, spring_pa):
        found.append("lazy" if name == AT_REST else "spring-ceiling")
    if real.bypass.lifting is False:
        found.append("flutter")
    if name == AT_REST and (_late(real, proper) or _emptied(real, proper)):
        found += ["spike", "hunting"]
    return list(dict.fromkeys(found))


def _too_low(name: str, boost_pa: float, proper_pa: float | None, spring_pa: float) -> bool:
    if name == AT_REST:
        return boost_pa < _LOW * spring_pa
    return proper_pa is None or boost_pa < proper_pa - _MARGIN_PA


def _because(real: Behaviour, proper: Behaviour, spring_pa: float, wet: bool) -> list[str]:
    said = []
    if wet:
        said.append(
            "A signal hose is on a water port of the gate, so no air reaches the gate and coolant "
            "can get into the hoses."
        )
    rest = real.boost_pa[AT_REST]
    if _too_high(rest, proper.boost_pa[AT_REST]):
        said.append(_why_high(real, rest))
    elif _unsafe(real, proper, spring_pa):
        said.append("With the solenoid pulsed, the gate gets too little air, and boost runs away.")
    if real.off_boost_pa >= spring_pa:
        said.append("Manifold vacuum at idle lifts the gate against its spring.")
    if real.kept_pa >= spring_pa:
        said.append("After a pull, air stays in the gate and holds it open; the next pull is weak.")
    if real.bypass.driving:
        said.append("The bypass valve stands open under boost, so the charge air goes round.")
    if real.bypass.lifting is False:
        said.append(
            "The bypass valve stays shut on lift-off, so the air goes back through the turbo."
        )
    if _hisses(real, proper):
        said.append("Boost blows out of the signal hoses all the time; it can be heard.")
    if _late(real, proper):
        said.append("The gate gets its air late, so boost overshoots before it is held.")
    if _emptied(real, proper):
        said.append(
            "The signal is taken after the throttle: at every lift the gate is sucked empty, so it "
            "opens late and boost overshoots."
        )
    return said


def _late(real: Behaviour, proper: Behaviour) -> bool:
    return real.lag_s > max(_LATE_S, 2.0 * proper.lag_s)


def _emptied(real: Behaviour, proper: Behaviour) -> bool:
    """Does manifold vacuum reach the opening side of the gate, as it should not?"""
    return real.off_boost_pa < proper.off_boost_pa - _MARGIN_PA


def _why_high(real: Behaviour, boost_pa: float | None) -> str:
    sight = real.sights[AT_REST]
    much = "nothing limits boost" if boost_pa is None else "boost goes well above the spring"
    if sight.upper_pa > 0.2 * real.source_pa and sight.lower_pa < 0.2 * real.source_pa:
        return f"The air reaches the side of the gate that shuts it, so {much}."
    if sight.upper_pa > 0.2 * real.source_pa:
        return f"Air on both sides of the diaphragm cancels, so the gate stays shut and {much}."
    if sight.lower_pa < 0.2 * real.source_pa:
        return f"At rest no boost reaches the gate, so it stays shut and {much}."
    return f"The gate gets less than the boost there is, or has air shut in above it, so {much}."
