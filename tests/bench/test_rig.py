"""Plumbing as a network: ``expert/bench/rig.py``."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import pytest

from expert.bench.rig import (
    BALL_MOST_PA,
    BLEED_HOLE_MM,
    INSIDE,
    NEEDLE_BORE_MM,
    PINCHED_BORE_MM,
    RESTRICTOR_BORE_MM,
    SPLIT_BORE_MM,
    Air,
    Rig,
    boost_pa,
    gate_sees,
)

PSI = 6894.757293168  # NIST Special Publication 811, appendix B.8
BOOST = Air(100e3, 100e3)
SPRING = 50e3
NIPPLE, TAP = "housing-nipple.nipple", "inlet-pipe.tap"
LOWER, UPPER, SPARE = "external-gate.lower", "external-gate.upper", "external-gate.spare-lower"
PARTS = frozenset({"external-gate", "housing-nipple", "inlet-pipe", "manifold"})
CAPPED = frozenset({SPARE, "manifold.tap"})
THREE = ("normally-open", "common", "normally-closed")
FOUR = ("pressure", "vent", "lower-side", "upper-side")


def three_port(source: str, gate: str, vent: str) -> Rig:
    hoses = (
        (NIPPLE, f"three-port.{source}"),
        (f"three-port.{gate}", LOWER),
        (f"three-port.{vent}", TAP),
    )
    return Rig(PARTS | {"three-port"}, hoses, CAPPED)


def four_port(source: str, vent: str, lower: str, upper: str) -> Rig:
    hoses = (
        (NIPPLE, f"four-port.{source}"),
        (f"four-port.{vent}", TAP),
        (f"four-port.{lower}", LOWER),
        (f"four-port.{upper}", UPPER),
    )
    return Rig(PARTS | {"four-port"}, hoses, CAPPED)


def ideal(joined: list[tuple[str, str]], ends: dict[str, str]) -> dict[str, float]:
    """What ideal valves pass, by joining sets and nothing else: 1 for boost, 0 for air.

    ``joined`` are the ports that the valve joins in one position, ``ends`` what is on each port.
    A chamber that is joined to nothing keeps the air that it began with.
    """
    group = {port: {port, other} for pair in joined for port, other in (pair, pair[::-1])}
    found = {}
    for port, end in ends.items():
        if end in ("lower", "upper"):
            others = {ends[one] for one in group.get(port, {port})}
            found[end] = 1.0 if "source" in others else 0.0
    return found


def test_every_way_to_hose_three_ports() -> None:
    for order in permutations(THREE):
        rig = three_port(*order)
        ends = dict(zip(order, ("source", "lower", "vent"), strict=True))
        for duty, pair in (
            (0.0, ("common", "normally-open")),
            (1.0, ("common", "normally-closed")),
        ):
            expected = ideal([pair], ends)["lower"]
            sight = gate_sees(rig, BOOST, duty)
            assert sight.net_pa == pytest.approx(100e3 * expected, abs=500), (order, duty)
            dumped = {ends[port] for port in pair} == {"source", "vent"}
            assert (sight.lost_kg_s > 3e-4) == dumped, (order, duty)


def test_every_way_to_hose_four_ports() -> None:
    positions = {
        0.0: [("pressure", "lower-side"), ("vent", "upper-side")],
        1.0: [("pressure", "upper-side"), ("vent", "lower-side")],
    }
    for order in permutations(FOUR):
        rig = four_port(*order)
        ends = dict(zip(order, ("source", "vent", "lower", "upper"), strict=True))
        for duty, pairs in positions.items():
            expected = ideal(pairs, ends)
            net = 100e3 * (expected["lower"] - expected["upper"])
            # Where both chambers are joined, or both to air, the two sides cancel.
            both = any({ends[a], ends[b]} == {"lower", "upper"} for a, b in pairs)
            sight = gate_sees(rig, BOOST, duty)
            assert sight.net_pa == pytest.approx(0.0 if both else net, abs=500), (order, duty)
            dumped = any({ends[a], ends[b]} == {"source", "vent"} for a, b in pairs)
            assert (sight.lost_kg_s > 3e-4) == dumped, (order, duty)


def test_boost_at_rest_is_the_spring_and_rises_with_duty() -> None:
    # Common practice, no source: boost at 0 % duty equals the spring; at 100 % the gate sees
    # nothing.
    rig = three_port(*THREE)
    found = [boost_pa(rig, SPRING, duty) for duty in (0.0, 0.2, 0.4, 0.6)]
    assert found[0] == pytest.approx(SPRING, abs=200)
    assert found == sorted(found, key=float)  # type: ignore[arg-type]
    assert boost_pa(rig, SPRING, 1.0) is None
    assert gate_sees(rig, BOOST, 1.0).net_pa == pytest.approx(0.0, abs=1)


def test_fourteen_psi_of_spring_control_to_about_twice_that() -> None:
    # Common practice, no source: a 14 psi spring controls to about 28 psi, within the useful duty
    # of 15 to 85 %. The ideal valve takes exactly half of the time for it.
    def boost_psi(duty: float) -> float:
        boost = boost_pa(three_port(*THREE), 14 * PSI, duty)
        return float("inf") if boost is None else boost / PSI

    assert boost_psi(0.5) < 28.0 < boost_psi(0.75)


def test_a_part_that_is_diverted_is_added() -> None:
    # Common practice, no source: diverting 6 psi from a 14 psi gate gives 20 psi of boost.
    def lower_needs(boost: float) -> float:
        return gate_sees(three_port(*THREE), Air(boost, boost), 0.0).lower_pa - 6 * PSI

    assert lower_needs(20 * PSI) == pytest.approx(14 * PSI, rel=0.01)
    assert boost_pa(three_port(*THREE), 14 * PSI, 0.0, back_pa=6 * PSI) == pytest.approx(
        20 * PSI, rel=0.01
    )


def test_unplugged_it_rests() -> None:
    rig = Rig(PARTS | {"three-port"}, three_port(*THREE).hoses, CAPPED, plugged=False)
    assert boost_pa(rig, SPRING, 1.0) == pytest.approx(SPRING, abs=200)


def test_a_pinched_hose_and_a_split_one() -> None:
    right = three_port(*THREE)
    gate_hose = right.hoses[1]
    split = Rig(right.parts, right.hoses, CAPPED, splits_mm={gate_hose: SPLIT_BORE_MM})
    pinched = Rig(right.parts, right.hoses, CAPPED, bores_mm={gate_hose: PINCHED_BORE_MM})
    assert 0.3 < gate_sees(split, BOOST, 0.0).net_pa / 100e3 < 0.95
    assert gate_sees(pinched, BOOST, 0.0).net_pa == pytest.approx(100e3, rel=1e-3)


def test_a_check_valve_in_the_gate_hose_traps_or_blocks() -> None:
    right = three_port(*THREE)
    common, lower = right.hoses[1]
    traps = Rig(right.parts, right.hoses, CAPPED, checks=frozenset({(common, lower)}))
    turned = (right.hoses[0], (lower, common), right.hoses[2])
    blocks = Rig(right.parts, turned, CAPPED, checks=frozenset({(lower, common)}))
    assert gate_sees(traps, BOOST, 0.5).net_pa == pytest.approx(100e3, rel=0.02)
    assert gate_sees(blocks, BOOST, 0.0).net_pa == pytest.approx(0.0, abs=10)


def ball(setting: str = "right") -> Rig:
    inlet, outlet = "ball-controller.inlet", "ball-controller.outlet"
    if setting == "reversed":
        inlet, outlet = outlet, inlet
    return Rig(PARTS | {"ball-controller"}, ((NIPPLE, inlet), (outlet, LOWER)), CAPPED)


def test_a_ball_controller() -> None:
    # Common practice, no source: wound right out it is about the spring; wound in, the spring and
    # what the ball holds back.
    assert boost_pa(ball(), SPRING, 0.0) == pytest.approx(SPRING, rel=0.05)
    assert boost_pa(ball(), SPRING, 0.5) == pytest.approx(SPRING + 0.5 * BALL_MOST_PA, rel=0.05)
    assert boost_pa(ball("reversed"), SPRING, 0.0) is None
    assert 0.0 < BLEED_HOLE_MM < RESTRICTOR_BORE_MM
    blocked = replace(ball(), restrictors_mm={"ball-controller": 0.0})
    # With its hole blocked no air is lost, so the gate sees all of it once the ball has lifted.
    assert gate_sees(blocked, BOOST, 0.0).lost_kg_s < gate_sees(ball(), BOOST, 0.0).lost_kg_s
    assert gate_sees(blocked, BOOST, 0.5).net_pa == pytest.approx(
        100e3 - 0.5 * BALL_MOST_PA, abs=10
    )


def test_chambers_that_share_a_hose_cancel() -> None:
    one = three_port(*THREE)
    teed = replace(one, hoses=(*one.hoses, (LOWER, UPPER)))
    for duty in (0.0, 0.5, 1.0):
        assert gate_sees(teed, BOOST, duty).net_pa == pytest.approx(0.0, abs=100)
    assert boost_pa(teed, SPRING, 0.0) is None


def bleed(restrictor_mm: float | None = RESTRICTOR_BORE_MM) -> Rig:
    part = "bleed-controller"
    hoses = (
        (NIPPLE, f"{part}.feed"),
        (f"{part}.gate", LOWER),
        (f"{part}.branch", f"{part}.needle"),
        (f"{part}.outlet", TAP),
    )
    return Rig(PARTS | {part}, hoses, CAPPED, restrictors_mm={part: restrictor_mm})


def test_a_bleed_controller() -> None:
    assert boost_pa(bleed(), SPRING, 0.0) == pytest.approx(SPRING, abs=200)
    opened = boost_pa(bleed(), SPRING, 0.3)
    assert opened is None or opened > 1.5 * SPRING
    # Without its restrictor a bleed has hardly any authority; blocked, the gate gets nothing.
    without = gate_sees(bleed(None), BOOST, 1.0).net_pa
    assert without > 0.5 * 100e3
    assert gate_sees(bleed(), BOOST, 1.0).net_pa < 0.5 * without
    assert boost_pa(bleed(0.0), SPRING, 0.0) is None
    assert NEEDLE_BORE_MM > RESTRICTOR_BORE_MM


def upper_driven() -> Rig:
    """Three ports on the upper chamber: the source below always, and above when powered."""
    parts = PARTS | {"three-port", "signal-tee"}
    hoses = (
        (NIPPLE, "signal-tee.feed"),
        ("signal-tee.one", LOWER),
        ("signal-tee.other", "three-port.normally-closed"),
        ("three-port.common", UPPER),
        ("three-port.normally-open", TAP),
    )
    return Rig(parts, hoses, CAPPED)


def test_three_ports_on_the_upper_chamber() -> None:
    assert gate_sees(upper_driven(), BOOST, 0.0).net_pa == pytest.approx(100e3, abs=500)
    assert gate_sees(upper_driven(), BOOST, 1.0).net_pa == pytest.approx(0.0, abs=500)
    assert boost_pa(upper_driven(), SPRING, 0.0) == pytest.approx(SPRING, abs=300)
    assert boost_pa(upper_driven(), SPRING, 1.0) is None


@pytest.mark.parametrize("fault", ["capped", "teed", "spare", "signal-up", "water"])
def test_ports_of_the_gate(fault: str) -> None:
    right = three_port(*THREE)
    changed = {
        "capped": Rig(right.parts, right.hoses, CAPPED | {UPPER}),
        "teed": Rig(right.parts, (*right.hoses, (LOWER, UPPER)), CAPPED),
        "spare": Rig(right.parts, right.hoses, CAPPED - {SPARE}),
        "signal-up": Rig(right.parts, (*right.hoses[::2], (right.hoses[1][0], UPPER)), CAPPED),
        "water": Rig(
            right.parts, (*right.hoses[::2], (right.hoses[1][0], "external-gate.water-in")), CAPPED
        ),
    }
    net = gate_sees(changed[fault], BOOST, 0.0).net_pa
    expected = {"capped": 100e3, "teed": 0.0, "signal-up": -100e3, "water": 0.0}
    if fault == "spare":
        assert 0.0 < net < 0.4 * 100e3
    else:
        assert net == pytest.approx(expected[fault], abs=500)


def test_every_part_joins_only_ports_of_its_own_or_sources() -> None:
    for part, inside in INSIDE.items():
        from expert.bench.rig import Setting

        for way in inside(three_port(*THREE), Setting(0.5)):
            for end in (way.a, way.b):
                assert "." not in end or end.split(".")[0] in {part, "gate", "bypass"}
