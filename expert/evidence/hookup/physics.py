"""What follows from the plumbing that was found: what the gate sees, and the boost it makes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.gate import trapped_pa
from expert.bench.pneumatics import stepped
from expert.bench.rig import (
    LOWER,
    PINCHED_BORE_MM,
    SPLIT_BORE_MM,
    UPPER,
    VACUUM_PA,
    Air,
    Rig,
    Setting,
    Sight,
    boost_pa,
    gate_sees,
    network_of,
)
from expert.evidence.hookup.found import Found
from expert.evidence.hookup.layout import Layout, Pair, Port

SHARES: Final[Mapping[str, float]] = {"0": 0.0, "50": 0.5, "100": 1.0}
# A four-port valve counts its duty twice: nothing limits boost from half duty on, so what it does
# on the way is looked at besides.
PARTIAL: Final = "25"
# A gate at work squeezes the air shut in above its diaphragm by about this share, with an exponent
# between slow and quick: the two make the 6 to 7 psi of common practice.
SQUEEZED: Final = 0.29
TRAPPED_EXPONENT: Final = 1.1
# The pressure that lifts a bypass valve off its seat: common practice, no source.
BYPASS_SPRING_PA: Final = 30e3
_LAG_STEPS: Final = 20
_LAG_S: Final = 2.0
_RESTRICTED: Final = frozenset({"bleed-controller", "ball-controller"})
_RESTRICTORS_MM: Final[Mapping[str, float | None]] = {"missing": None, "blocked": 0.0}


@dataclass(frozen=True, slots=True)
class Bypass:
    """Is the bypass valve open while driving under boost, and on lift-off? None: there is none."""

    driving: bool | None
    lifting: bool | None


@dataclass(frozen=True, slots=True)
class Behaviour:
    """What a plumbing does: sights at a boost, the boost of the spring, and how late it is.

    ``boost_pa`` is None where nothing limits boost. ``off_boost_pa`` is what works against the
    spring at idle, with the manifold under vacuum; ``lag_s`` how long the gate takes to see most of
    a sudden boost at rest; ``kept_pa`` what still works against the spring a while after a pull.
    """

    source_pa: float
    sights: Mapping[str, Sight]
    boost_pa: Mapping[str, float | None]
    off_boost_pa: float
    lag_s: float
    kept_pa: float
    bypass: Bypass


def rig_of(layout: Layout, found: Found) -> Rig:
    """The rig of what was found; ports that carry coolant have nothing to do with it."""
    directed = {frozenset(pair): pair for pair in found.checks}
    ordered = {pair: directed.get(pair) or _ends(pair) for pair in found.hoses}
    hoses = tuple(sorted([*ordered.values(), *(_ends(pair) for pair in found.tees)]))
    restrictors: dict[str, float | None] = {}
    if found.restrictor in _RESTRICTORS_MM:
        restrictors = dict.fromkeys(_RESTRICTED & layout.parts, _RESTRICTORS_MM[found.restrictor])
    return Rig(
        layout.parts,
        hoses,
        found.capped,
        {ordered[pair]: PINCHED_BORE_MM for pair in found.pinched},
        {ordered[pair]: SPLIT_BORE_MM for pair in found.split},
        frozenset(found.checks),
        restrictors,
        found.plugged,
    )


def _ends(pair: Pair) -> tuple[Port, Port]:
    one, other = sorted(pair)
    return one, other


def behaviour(layout: Layout, found: Found, spring_pa: float, source_pa: float) -> Behaviour:
    """How the plumbing behaves with this spring, at the ends and in the middle of its range."""
    rig = rig_of(layout, found)
    air = Air(source_pa, source_pa)
    shares = shares_of(layout.parts)
    return Behaviour(
        source_pa,
        {name: gate_sees(rig, air, share) for name, share in shares.items()},
        {
            name: boost_pa(rig, spring_pa, share, back_pa=shut_in_pa(rig, share))
            for name, share in shares.items()
        },
        gate_sees(rig, Air(0.0, VACUUM_PA), 0.0).net_pa,
        lag_s(rig, source_pa),
        kept_pa(rig, spring_pa),
        _bypass(rig, source_pa),
    )


def shares_of(parts: frozenset[str]) -> Mapping[str, float]:
    """The shares of the duty at which a car with these parts is judged, by their names."""
    return {**SHARES, PARTIAL: 0.25} if "four-port" in parts else SHARES


def shut_in_pa(rig: Rig, share: float) -> float:
    """What air shut in above the diaphragm adds to the spring; 0 where it can get out."""
    if "external-gate" not in rig.parts or _can_breathe(rig, share):
        return 0.0
    return trapped_pa(SEA_LEVEL_PA, SQUEEZED, TRAPPED_EXPONENT) - SEA_LEVEL_PA


def _can_breathe(rig: Rig, share: float) -> bool:
    """Does a way lead on from the spring's side of the gate, in a position that the valve takes?"""
    share = share if rig.plugged else 0.0
    network = network_of(rig, Air(0.0, 0.0), Setting(share))
    ways = [
        way
        for powered, taken in ((False, share < 1.0), (True, share > 0.0))
        if taken
        for way in network.open_ways(powered)
    ]
    seen, todo = {UPPER}, [UPPER]
    while todo:
        here = todo.pop()
        if here in network.sources_pa:
            return True
        for way in ways:
            for one, other in ((way.a, way.b), (way.b, way.a)):
                if one == here and other not in seen:
                    seen.add(other)
                    todo.append(other)
    return False


def lag_s(rig: Rig, source_pa: float) -> float:
    """How long the gate takes, at rest, to see 63 % of what it sees in the end, from nothing."""
    network = network_of(rig, Air(source_pa, source_pa), Setting(0.0))
    final = gate_sees(rig, Air(source_pa, source_pa), 0.0).net_pa
    now = dict.fromkeys(network.volumes_m3, SEA_LEVEL_PA)
    if abs(final) < 1.0:
        return 0.0
    step_s = _LAG_S / _LAG_STEPS
    for k in range(1, _LAG_STEPS + 1):
        now = stepped(network, now, False, step_s)
        if (now[LOWER] - now[UPPER]) / final >= 0.63:
            return k * step_s
    return _LAG_S


def kept_pa(rig: Rig, spring_pa: float) -> float:
    """What still works against the spring a while after a pull at rest to twice the spring."""
    pulled = network_of(rig, Air(2.0 * spring_pa, 2.0 * spring_pa), Setting(0.0))
    eased = network_of(rig, Air(0.0, 0.0), Setting(0.0))
    now = dict.fromkeys(pulled.volumes_m3, SEA_LEVEL_PA)
    for network in (pulled, eased):
        for _ in range(_LAG_STEPS):
            now = stepped(network, now, False, _LAG_S / _LAG_STEPS)
    return now[LOWER] - now[UPPER]


def _bypass(rig: Rig, source_pa: float) -> Bypass:
    """What the bypass valve does, by what pressure reaches it."""
    if "recirculating-bypass" in rig.parts:
        driving = gate_sees(rig, Air(source_pa, source_pa), 0.0).bypass_pa
        lifting = gate_sees(rig, Air(source_pa, VACUUM_PA), 0.0, lifting=True).bypass_pa
        return Bypass(driving < -BYPASS_SPRING_PA, lifting < -BYPASS_SPRING_PA)
    if "manifold-bypass" in rig.parts:
        driving = gate_sees(rig, Air(source_pa, source_pa), 0.0).bypass_pa
        lifting = gate_sees(rig, Air(source_pa, VACUUM_PA), 0.0).bypass_pa
        return Bypass(
            source_pa - driving > BYPASS_SPRING_PA, source_pa - lifting > BYPASS_SPRING_PA
        )
    return Bypass(None, None)
