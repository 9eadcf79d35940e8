"""Boost plumbing as a pneumatic network: parts with ports, hoses between them, and what is open.

A rig is a plain description: which parts there are, which ports a hose joins, which are capped,
what leaks. ``network_of`` makes a network of it by what each part does inside, and ``gate_sees``
says what pressure reaches the two sides of the gate's diaphragm. Nothing here knows which hose
ought to be where.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.flow import conductance_of_bore
from expert.bench.pneumatics import Network, Pressures, Pulsing, Way, pulsed_mean, way_flow_kg_s

# Bores and volumes of a usual installation: common practice, no source.
HOSE_BORE_MM: Final = 4.0
PORT_BORE_MM: Final = 4.0
SOLENOID_BORE_MM: Final = 2.5
RESTRICTOR_BORE_MM: Final = 1.0
NEEDLE_BORE_MM: Final = 2.5
BALL_BORE_MM: Final = 3.0
BLEED_HOLE_MM: Final = 0.5
PINCHED_BORE_MM: Final = 0.4
SPLIT_BORE_MM: Final = 2.0
CHAMBER_M3: Final = 40e-6
PORT_M3: Final = 2e-6
# Half a metre of usual hose.
UPPER_HOSE_M3: Final = 6e-6
# What a ball controller holds back when it is wound right in.
BALL_MOST_PA: Final = 100e3
# What the vacuum pump of a bypass makes below the air outside, and the manifold on lift-off.
VACUUM_PA: Final = -60e3

# The seat of a ball controller, beside its bleed hole.
BALL_SEAT: Final = "ball-controller.seat"

AIR: Final = "air"
BOOST: Final = "boost"
MANIFOLD: Final = "manifold"
PUMP: Final = "pump"

Port = str


@dataclass(frozen=True, slots=True)
class Rig:
    """What is really there. Ports are written part.port.

    ``hoses`` joins pairs of ports; ``teed`` ports joined to one another by a tee count as hoses
    that share a port. A port with neither hose nor cap is open to the air. ``bores_mm`` narrows a
    hose, ``splits_mm`` opens one to the air, ``checks`` puts a check valve into one that passes
    from the first port to the second only. ``restrictors_mm`` says which bore a part's own
    restrictor has (0 blocked, None missing): the bleed hole and the seat of a ball controller, the
    restrictor of a bleed controller, the hole of a tap. ``pills_mm`` are pills put into hoses.
    """

    parts: frozenset[str]
    hoses: tuple[tuple[Port, Port], ...]
    capped: frozenset[Port] = frozenset()
    bores_mm: Mapping[tuple[Port, Port], float] = field(default_factory=dict)
    splits_mm: Mapping[tuple[Port, Port], float] = field(default_factory=dict)
    checks: frozenset[tuple[Port, Port]] = frozenset()
    restrictors_mm: Mapping[str, float | None] = field(default_factory=dict)
    plugged: bool = True
    solenoid_mm: float = SOLENOID_BORE_MM
    chamber_m3: float = CHAMBER_M3
    pills_mm: Mapping[tuple[Port, Port], float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Air:
    """The pressures around a rig, gauge Pa: boost at the turbo, and the manifold behind."""

    boost_pa: float
    manifold_pa: float
    ambient_pa: float = SEA_LEVEL_PA

    def absolute(self) -> dict[str, float]:
        """The sources of a network, Pa absolute."""
        gauge = {
            BOOST: self.boost_pa,
            MANIFOLD: self.manifold_pa,
            AIR: 0.0,
            PUMP: VACUUM_PA,
        }
        return {name: self.ambient_pa + value for name, value in gauge.items()}


@dataclass(frozen=True, slots=True)
class Setting:
    """How far a controller is wound up, as a share of 1, and whether the driver lifts off.

    On lift-off the solenoid of a recirculating bypass is powered, and at no other time.
    """

    share: float
    lifting: bool = False


Inside = Callable[[Rig, Setting], list[Way]]


def _way(a: Port, b: Port, bore_mm: float, **more: object) -> Way:
    return Way(a, b, conductance_of_bore(bore_mm), **more)  # type: ignore[arg-type]


def _three_port(rig: Rig, _: Setting) -> list[Way]:
    common, resting, powered = (
        f"three-port.{port}" for port in ("common", "normally-open", "normally-closed")
    )
    return [
        _way(common, resting, rig.solenoid_mm, state="rest"),
        _way(common, powered, rig.solenoid_mm, state="powered"),
    ]


def _four_port(rig: Rig, _: Setting) -> list[Way]:
    supply, vent, lower, upper = (
        f"four-port.{port}" for port in ("pressure", "vent", "lower-side", "upper-side")
    )
    return [
        _way(supply, lower, rig.solenoid_mm, state="rest"),
        _way(vent, upper, rig.solenoid_mm, state="rest"),
        _way(supply, upper, rig.solenoid_mm, state="powered"),
        _way(vent, lower, rig.solenoid_mm, state="powered"),
    ]


def _ball(rig: Rig, setting: Setting) -> list[Way]:
    inlet, outlet = "ball-controller.inlet", "ball-controller.outlet"
    hole_mm = rig.restrictors_mm.get("ball-controller")
    return [
        _way(inlet, outlet, _seat_mm(rig), opens_pa=setting.share * BALL_MOST_PA),
        _way(outlet, AIR, BLEED_HOLE_MM if hole_mm is None else hole_mm),
    ]


def _seat_mm(rig: Rig) -> float:
    bore_mm = rig.restrictors_mm.get(BALL_SEAT)
    return BALL_BORE_MM if bore_mm is None else bore_mm


def _bleed(rig: Rig, setting: Setting) -> list[Way]:
    tee = "bleed-controller.tee"
    bore_mm = rig.restrictors_mm.get("bleed-controller", RESTRICTOR_BORE_MM)
    restrictor_mm = PORT_BORE_MM if bore_mm is None else bore_mm
    needle_mm = NEEDLE_BORE_MM * setting.share**0.5
    return [
        _way("bleed-controller.feed", tee, restrictor_mm),
        _way(tee, "bleed-controller.gate", PORT_BORE_MM),
        _way(tee, "bleed-controller.branch", PORT_BORE_MM),
        _way("bleed-controller.needle", "bleed-controller.outlet", needle_mm),
    ]


def _external_gate(_: Rig, __: Setting) -> list[Way]:
    return [
        _way("external-gate.lower", LOWER, PORT_BORE_MM),
        _way("external-gate.spare-lower", LOWER, PORT_BORE_MM),
        _way("external-gate.upper", UPPER, PORT_BORE_MM),
        _way("external-gate.water-in", "external-gate.water-out", PORT_BORE_MM),
    ]


def _internal_gate(_: Rig, __: Setting) -> list[Way]:
    # The spring's side of a can is open to the air by itself.
    return [
        _way("internal-gate.nipple", LOWER, PORT_BORE_MM),
        _way(UPPER, AIR, PORT_BORE_MM),
    ]


def _tap(port: Port, source: str) -> Inside:
    return lambda _, __: [_way(source, port, PORT_BORE_MM)]


def _coupler_tap(rig: Rig, _: Setting) -> list[Way]:
    bore_mm = rig.restrictors_mm.get("coupler-tap")
    return [_way(BOOST, "coupler-tap.tap", PORT_BORE_MM if bore_mm is None else bore_mm)]


def _recirculating(rig: Rig, setting: Setting) -> list[Way]:
    solenoid = "recirculating-bypass.solenoid"
    joined = f"{solenoid}-supply" if setting.lifting else f"{solenoid}-vent"
    return [
        _way(PUMP, "recirculating-bypass.vacuum-pump", PORT_BORE_MM),
        _way(f"{solenoid}-common", joined, rig.solenoid_mm),
        _way("recirculating-bypass.signal", BYPASS, PORT_BORE_MM),
    ]


def _manifold_bypass(_: Rig, __: Setting) -> list[Way]:
    return [_way("manifold-bypass.signal", BYPASS, PORT_BORE_MM)]


def _tee(_: Rig, __: Setting) -> list[Way]:
    middle = "signal-tee.middle"
    return [_way(f"signal-tee.{port}", middle, PORT_BORE_MM) for port in ("feed", "one", "other")]


LOWER: Final = "gate.lower-chamber"
UPPER: Final = "gate.upper-chamber"
BYPASS: Final = "bypass.chamber"

# What each part joins inside. A part that is not here has no part in the signal.
INSIDE: Final[Mapping[str, Inside]] = {
    "three-port": _three_port,
    "four-port": _four_port,
    "ball-controller": _ball,
    "bleed-controller": _bleed,
    "external-gate": _external_gate,
    "internal-gate": _internal_gate,
    "signal-tee": _tee,
    "housing-nipple": _tap("housing-nipple.nipple", BOOST),
    "coupler-tap": _coupler_tap,
    "charge-path": _tap("charge-path.pre-throttle-tap", BOOST),
    "manifold": _tap("manifold.tap", MANIFOLD),
    "inlet-pipe": _tap("inlet-pipe.tap", AIR),
    "recirculating-bypass": _recirculating,
    "manifold-bypass": _manifold_bypass,
}
_SOURCES: Final = (AIR, BOOST, MANIFOLD, PUMP)


def network_of(rig: Rig, air: Air, setting: Setting) -> Network:
    """The pneumatic network of a rig."""
    ways = [way for part in sorted(rig.parts & INSIDE.keys()) for way in INSIDE[part](rig, setting)]
    ports = {name for way in ways for name in (way.a, way.b) if name not in _SOURCES}
    ports.update(port for hose in rig.hoses for port in hose)
    used = {port for hose in rig.hoses for port in hose}
    for port in sorted(ports):
        if port not in used and port not in rig.capped and _is_outside(port):
            ways.append(_way(port, AIR, PORT_BORE_MM))
    for hose in rig.hoses:
        ways += _hose(hose, rig)
    volumes = {
        name: rig.chamber_m3 if name in (LOWER, UPPER, BYPASS) else PORT_M3
        for name in sorted(ports)
    }
    return Network(volumes, air.absolute(), ways)


def _is_outside(port: Port) -> bool:
    """Is it a spout that a hose can be put on, not a room inside a part?"""
    return port not in (LOWER, UPPER, BYPASS) and not port.endswith((".tee", ".middle"))


def _hose(hose: tuple[Port, Port], rig: Rig) -> list[Way]:
    bore_mm = min(rig.bores_mm.get(hose, HOSE_BORE_MM), rig.pills_mm.get(hose, HOSE_BORE_MM))
    opens_pa = 0.0 if hose in rig.checks else None
    ways = [_way(hose[0], hose[1], bore_mm, opens_pa=opens_pa)]
    if hose in rig.splits_mm:
        ways.append(_way(hose[1], AIR, rig.splits_mm[hose]))
    return ways


@dataclass(frozen=True, slots=True)
class Sight:
    """Mean gauge pressures below and above the diaphragm and in the bypass, and what is lost.

    ``lost_kg_s`` is the flow out of the source of boost.
    """

    lower_pa: float
    upper_pa: float
    bypass_pa: float
    lost_kg_s: float

    @property
    def net_pa(self) -> float:
        """What works against the spring."""
        return self.lower_pa - self.upper_pa


def gate_sees(
    rig: Rig, air: Air, duty: float, hertz: float = 30.0, *, lifting: bool = False
) -> Sight:
    """What reaches the gate at a duty, coming from off boost.

    With the solenoid unplugged it rests, whatever the duty; a controller by hand is wound up by
    the same share.
    """
    share = duty if rig.plugged else 0.0
    network = network_of(rig, air, Setting(duty, lifting))
    start = dict.fromkeys(network.volumes_m3, air.ambient_pa)
    mean = pulsed_mean(network, start, Pulsing(share, hertz))
    return Sight(
        _gauge(mean, LOWER, air),
        _gauge(mean, UPPER, air),
        _gauge(mean, BYPASS, air),
        _lost(network, mean, share),
    )


def _gauge(pressures: Pressures, name: str, air: Air) -> float:
    return pressures.get(name, air.ambient_pa) - air.ambient_pa


def _lost(network: Network, mean: Pressures, share: float) -> float:
    """Mean flow out of the source of boost, at the mean pressures."""
    weight = {"always": 1.0, "rest": 1.0 - share, "powered": share}
    return sum(
        weight[way.state] * way_flow_kg_s(way, mean) for way in network.ways if way.a == BOOST
    )


def shut_in_m3(rig: Rig) -> float | None:
    """The volume of air that is shut in above the diaphragm while the solenoid rests.

    None where that side can breathe out. A check valve lets out in its own direction only.
    """
    network = network_of(rig, Air(0.0, 0.0), Setting(0.0))
    found, fresh = {UPPER}, [UPPER]
    while fresh:
        here = fresh.pop()
        for way in network.open_ways(powered=False):
            out = [way.b] if way.a == here else []
            if way.b == here and way.opens_pa is None:
                out.append(way.a)
            new = [name for name in out if name not in found]
            found.update(new)
            fresh += new
    if UPPER not in network.volumes_m3 or found & set(_SOURCES):
        return None
    return rig.chamber_m3 + UPPER_HOSE_M3


MOST_BOOST_PA: Final = 400e3


def boost_pa(
    rig: Rig,
    spring_pa: float,
    duty: float,
    *,
    back_pa: float = 0.0,
    most_pa: float = MOST_BOOST_PA,
    ambient_pa: float = SEA_LEVEL_PA,
    hertz: float = 30.0,
) -> float | None:
    """The boost at which the gate opens: where what it sees is the spring; None if it never does.

    ``back_pa`` is what holds the gate shut besides, such as air shut in above the diaphragm.
    Regula falsi in the form of Illinois, which keeps the root between its two ends.
    """
    needed_pa = spring_pa + back_pa

    def over(boost: float) -> float:
        air = Air(boost, boost, ambient_pa)
        return gate_sees(rig, air, duty, hertz).net_pa - needed_pa

    low, high = 0.0, most_pa
    over_low, over_high = over(low), over(high)
    if over_low >= 0.0:
        return low
    if over_high < -_TOLERANCE_PA:
        return None
    kept = 0
    for _ in range(60):
        guess = high - over_high * (high - low) / (over_high - over_low)
        here = over(guess)
        if abs(here) < _TOLERANCE_PA or high - low < _TOLERANCE_PA:
            return guess
        if here < 0.0:
            low, over_low = guess, here
            over_high /= 2.0 if kept == -1 else 1.0
            kept = -1
        else:
            high, over_high = guess, here
            over_low /= 2.0 if kept == 1 else 1.0
            kept = 1
    return (low + high) / 2.0


_TOLERANCE_PA: Final = 150.0
