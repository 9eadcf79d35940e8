"""Wrong connections and what comes of them: ``expert/evidence/hookup/verdict.py``.

The complaints are common practice, no source; nothing in the program lists a wrong connection, so
each is derived from ports and hoses alone.
"""

from __future__ import annotations

from itertools import permutations

import pytest

from expert.evidence.hookup.verdict import Verdict
from tests.evidence.hookup.rigs import SPRING_PA, judged

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP, LOWER = "housing-nipple.nipple", "inlet-pipe.tap", "external-gate.lower"
UPPER, SPARE, MANIFOLD = "external-gate.upper", "external-gate.spare-lower", "manifold.tap"
PRE = "charge-path.pre-throttle-tap"


def net_shares(one: Verdict) -> tuple[float, float]:
    """What works against the spring at 0 and 100 %, as a share of the source."""
    sights, source_pa = one.behaviour.sights, one.behaviour.source_pa
    return sights["0"].net_pa / source_pa, sights["100"].net_pa / source_pa


# Name, hoses, net share at 0 and 100 % (None: not told), symptom at 0, at 50 or 100 %, drive.
THREE_PORT = [
    ("right", [], 1, 0, None, None, "ok"),
    ("source and vent", [f"{NIPPLE}={NC}", f"{TAP}={NO}"], 0, 1, "overboost", None, "stop"),
    ("gate and source", [f"{NIPPLE}={COM}", f"{LOWER}={NO}"], 1, 0, None, "spring-ceiling", None),
    ("gate and vent", [f"{LOWER}={NC}", f"{TAP}={COM}"], 0, 0, "overboost", None, "stop"),
    (
        "rotated one way",
        [f"{TAP}={COM}", f"{LOWER}={NO}", f"{NIPPLE}={NC}"],
        *(0, 0, "overboost", None, "stop"),
    ),
    (
        "rotated the other way",
        [f"{NIPPLE}={COM}", f"{TAP}={NO}", f"{LOWER}={NC}"],
        *(0, 1, "overboost", "spring-ceiling", "stop"),
    ),
    ("vent capped", [f"{NC}=cap"], 1, 0, None, "spring-ceiling", None),
    ("vent on boost", [f"{NC}={PRE}", f"{TAP}=cap"], 1, 1, None, "spring-ceiling", None),
    ("source off", [f"{NO}=air"], 0, 0, "overboost", None, "stop"),
    ("source from the inlet", [f"{NO}={TAP}", f"{NC}=air"], 0, 0, "overboost", None, "stop"),
    ("gate hose off", [f"{LOWER}=air"], 0, 0, "overboost", None, "stop"),
    ("on the upper port", [f"{COM}={UPPER}"], -1, 0, "overboost", None, "stop"),
    ("spare lower open", [f"{SPARE}=air"], None, 0, "overboost", None, "stop"),
    ("upper capped", [f"{UPPER}=cap"], 1, 0, "overboost", None, "stop"),
    ("on a water port", [f"{COM}=external-gate.water-in"], 0, 0, "overboost", None, "stop"),
    ("upper on the manifold", [f"{UPPER}={MANIFOLD}"], 0, -1, "lazy", None, "stop"),
]


@pytest.mark.parametrize(
    ("hoses", "at_rest", "powered", "symptom", "later", "drive"),
    [row[1:] for row in THREE_PORT],
    ids=[row[0] for row in THREE_PORT],
)
def test_three_ports_on_an_external_gate(
    hoses: list[str],
    at_rest: float | None,
    powered: float | None,
    symptom: str | None,
    later: str | None,
    drive: str | None,
) -> None:
    one = judged("external-single", *hoses)
    found = net_shares(one)
    for share, expected in zip(found, (at_rest, powered), strict=True):
        assert expected is None or share == pytest.approx(expected, abs=0.03)
    assert symptom is None or symptom in one.symptoms["0"]
    assert symptom is not None or one.symptoms["0"] == ()
    assert later is None or later in {*one.symptoms["50"], *one.symptoms["100"]}
    assert one.drive == (drive or "caution")
    assert one.ok == (not hoses)
    assert bool(one.because or later) == bool(hoses)


def test_manifold_on_the_upper_port_is_overboost_as_well() -> None:
    one = judged("external-single", f"{UPPER}={MANIFOLD}")
    assert set(one.symptoms["0"]) == {"overboost", "lazy"}


def test_an_owner_with_source_and_vent_swapped_is_told_to_swap_two_hoses() -> None:
    one = judged("internal-nipple", f"{NIPPLE}={NC}", f"{TAP}={NO}")
    assert one.drive == "stop"
    assert one.because == (
        "At rest no boost reaches the gate, so it stays shut and nothing limits boost.",
    )
    assert [type(step).__name__ for step in one.moves] == ["Swap"]


def test_capped_upper_ports_add_what_common_practice_says() -> None:
    # Common practice, no source: both upper ports capped turn a 14 psi spring into about 20.
    one = judged("external-single", f"{UPPER}=cap")
    boost_pa = one.behaviour.boost_pa["0"]
    assert boost_pa is not None
    assert (boost_pa - SPRING_PA) / 6894.757 == pytest.approx(6.5, abs=1.0)


def test_a_vent_to_the_open_air_is_unusual_and_works() -> None:
    one = judged("external-single", f"{NC}=air", f"{TAP}=cap")
    assert one.ok
    assert one.unusual
    assert one.drive == "ok"
    assert not judged("external-single").unusual


def test_hoses_that_are_pinched_or_split() -> None:
    pinched = judged("external-single", pinched=(COM,))
    assert {"spike", "hunting"} <= set(pinched.symptoms["0"])
    split = judged("external-single", split=(COM,))
    rest = split.behaviour.boost_pa["0"]
    assert rest is not None
    assert rest > SPRING_PA * 1.1
    assert not split.ok


def test_a_gate_hose_that_is_partly_split_gives_a_share_and_more_boost() -> None:
    one = judged("external-single", split=(COM,))
    at_rest, powered = net_shares(one)
    assert 0.5 < at_rest < 0.9
    assert powered == pytest.approx(0.0, abs=0.03)
    rest = one.behaviour.boost_pa["0"]
    assert rest == pytest.approx(SPRING_PA / at_rest, rel=0.1)
    assert "overboost" in {name for names in one.symptoms.values() for name in names}
    assert one.drive == "stop"


def test_a_pinched_gate_hose_gives_all_of_it_late() -> None:
    one = judged("external-single", pinched=(COM,))
    assert net_shares(one) == pytest.approx((1.0, 0.0), abs=0.03)
    assert one.behaviour.lag_s > 4 * one.proper.lag_s
    assert one.behaviour.boost_pa["0"] == pytest.approx(SPRING_PA, abs=500)
    assert one.drive == "caution"


@pytest.mark.parametrize("setup", ["external-single", "external-upper", "dual-four-port"])
def test_chambers_joined_by_a_tee_cancel(setup: str) -> None:
    one = judged(setup, tees=(f"{LOWER}={UPPER}",))
    at_rest, powered = net_shares(one)
    assert at_rest == pytest.approx(0.0, abs=0.06)
    assert powered == pytest.approx(0.0, abs=0.06)
    assert one.behaviour.boost_pa["0"] is None
    assert "overboost" in one.symptoms["0"]
    assert one.drive == "stop"
    assert any("both sides of the diaphragm" in reason for reason in one.because)


def test_a_source_teed_into_the_vent_is_heard() -> None:
    one = judged("external-single", tees=(f"{NIPPLE}={NC}",))
    assert one.drive == "caution"
    assert any("blows out" in reason for reason in one.because)


@pytest.mark.parametrize("gate", ["internal", "external"])
def test_a_blocked_bleed_hole_keeps_the_air_in_after_a_pull(gate: str) -> None:
    one = judged("manual-ball", gate=gate, restrictor="blocked")
    assert one.symptoms["0"] == ("lazy",)
    assert one.behaviour.boost_pa["0"] == pytest.approx(SPRING_PA, abs=500)
    assert one.drive == "caution"
    assert any("After a pull" in reason for reason in one.because)
    assert judged("manual-ball", gate=gate).behaviour.kept_pa == pytest.approx(0.0, abs=500)


def test_check_valves_by_their_direction() -> None:
    towards = judged("external-single", checks=(f"{COM}={LOWER}",))
    assert set(towards.symptoms["0"]) == {"lazy"}
    away = judged("external-single", checks=(f"{LOWER}={COM}",))
    assert "overboost" in away.symptoms["0"]
    assert away.drive == "stop"


def test_what_is_mended_where_it_is() -> None:
    one = judged("external-single", split=(COM,), pinched=(NO,), checks=(f"{NC}={TAP}",))
    assert [type(step).__name__ for step in one.repairs] == ["Renew", "Free", "TakeOut"]
    assert one.moves == ()
    assert judged("external-single").repairs == ()


def test_an_unplugged_solenoid_stays_at_the_spring() -> None:
    one = judged("external-single", plugged=False)
    assert one.symptoms["0"] == ()
    assert "spring-ceiling" in one.symptoms["50"]
    assert one.drive == "caution"
    assert one.because == (
        "Driven, the gate still gets its air, so boost stays lower than it should be.",
    )


BALL = ("ball-controller.inlet", "ball-controller.outlet")


@pytest.mark.parametrize("gate", ["internal", "external"])
def test_controllers_by_hand(gate: str) -> None:
    nipple = "internal-gate.nipple" if gate == "internal" else LOWER
    reversed_ = judged("manual-ball", f"{NIPPLE}={BALL[1]}", f"{nipple}={BALL[0]}", gate=gate)
    assert "overboost" in reversed_.symptoms["0"]
    assert reversed_.drive == "stop"
    missing = judged("manual-bleed", gate=gate, restrictor="missing")
    assert missing.symptoms["0"] == ()
    assert "spring-ceiling" in missing.symptoms["100"]
    blocked = judged("manual-bleed", gate=gate, restrictor="blocked")
    assert "overboost" in blocked.symptoms["0"]
    assert blocked.drive == "stop"
    assert judged("direct", gate=gate).ok
    off = judged("direct", f"{nipple}=air", gate=gate)
    assert (off.symptoms["0"], off.drive) == (("overboost",), "stop")


SOLENOID = "recirculating-bypass.solenoid"
PUMP, SIGNAL = "recirculating-bypass.vacuum-pump", "recirculating-bypass.signal"


@pytest.mark.parametrize(
    ("bypass", "hoses", "symptoms"),
    [
        ("recirculating", [], set()),
        (
            "recirculating",
            [f"{PUMP}={SOLENOID}-vent", f"{SOLENOID}-supply=air"],
            {"lazy", "flutter"},
        ),
        ("recirculating", [f"{PUMP}=air"], {"flutter"}),
        ("recirculating", [f"{SIGNAL}=air"], {"flutter"}),
        ("manifold", [], set()),
        ("manifold", ["manifold-bypass.signal=air", f"{MANIFOLD}=cap"], {"lazy"}),
        ("manifold", [f"manifold-bypass.signal={PRE}", f"{MANIFOLD}=cap"], {"flutter"}),
    ],
)
def test_bypasses(bypass: str, hoses: list[str], symptoms: set[str]) -> None:
    one = judged("internal-nipple", *hoses, bypass=bypass)
    assert set(one.symptoms["0"]) == symptoms
    assert one.ok == (not hoses)
    assert one.drive in (("ok",) if not hoses else ("caution",))


def test_pressures_of_the_gate_are_given_at_twice_the_spring() -> None:
    one = judged("external-single")
    assert one.behaviour.source_pa == 2 * SPRING_PA
    assert one.behaviour.boost_pa["0"] == pytest.approx(SPRING_PA, abs=200)
    assert one.behaviour.boost_pa["100"] is None


FOUR = tuple(f"four-port.{p}" for p in ("pressure", "vent", "lower-side", "upper-side"))
ENDS = (NIPPLE, TAP, LOWER, UPPER)


def four_ports(*order: str) -> Verdict:
    """Source, vent, lower and upper hose on the ports in this order."""
    return judged("dual-four-port", *(f"{a}={b}" for a, b in zip(ENDS, order, strict=True)))


P, E, A, B = FOUR
# Ports of the source, vent, lower and upper hose; net share at 0 and 100 %; drive.
FOUR_PORT = [
    ("right", (P, E, A, B), 1, -1, "ok"),
    ("right, both pairs called the other way", (E, P, B, A), 1, -1, "ok"),
    ("source and vent", (E, P, A, B), -1, 1, "stop"),
    ("lower and upper", (P, E, B, A), -1, 1, "stop"),
    ("source and upper", (B, E, A, P), 0, -1, "stop"),
    ("vent and lower", (P, A, E, B), 0, -1, "stop"),
    ("source and lower", (A, E, P, B), 1, 0, "caution"),
    ("vent and upper", (P, B, A, E), 1, 0, "caution"),
]


@pytest.mark.parametrize(
    ("order", "at_rest", "powered", "drive"),
    [row[1:] for row in FOUR_PORT],
    ids=[row[0] for row in FOUR_PORT],
)
def test_four_ports(order: tuple[str, ...], at_rest: float, powered: float, drive: str) -> None:
    one = four_ports(*order)
    assert net_shares(one) == pytest.approx((at_rest, powered), abs=0.03)
    assert one.drive == drive
    assert ("overboost" in one.symptoms["0"]) == (drive == "stop")
    if drive == "caution":
        # Right at rest, weak and hissing when driven: it misses its target.
        assert one.symptoms["0"] == ()
        assert any("blows out" in reason for reason in one.because)


@pytest.mark.parametrize("order", list(permutations(FOUR)))
def test_every_way_to_hose_four_ports_has_the_sign_of_ideal_valves(order: tuple[str, ...]) -> None:
    # An enumeration of ideal valves by joining sets, which knows nothing of flow.
    source, vent, lower, upper = order
    rest = {P: A, A: P, E: B, B: E}
    inside = {port: {port, rest[port]} for port in FOUR}
    low, high = (source in inside[port] for port in (lower, upper))
    cancelled = inside[lower] == inside[upper]
    expected = 0.0 if cancelled else float(low) - float(high)
    one = four_ports(*order)
    assert net_shares(one)[0] == pytest.approx(expected, abs=0.03)
    assert (one.drive == "stop") == (expected <= 0.0)
    assert vent in FOUR


@pytest.mark.parametrize(
    ("hoses", "at_rest", "powered", "drive"),
    [
        ([f"{LOWER}=air"], 0, -1, "stop"),
        ([f"{UPPER}=air"], 1, 0, "caution"),
    ],
)
def test_a_hose_off_a_gate_with_both_chambers_driven(
    hoses: list[str], at_rest: float, powered: float, drive: str
) -> None:
    one = judged("dual-four-port", *hoses)
    assert net_shares(one) == pytest.approx((at_rest, powered), abs=0.03)
    assert one.drive == drive


def test_three_ports_on_the_upper_chamber_look_swapped_and_are_right() -> None:
    assert judged("external-upper").ok
    ends = judged("external-upper").layout.hoses.values()
    wired = {frozenset((hose.from_, hose.to)) for hose in ends}
    assert any(NC in pair and any("tee" in port for port in pair) for pair in wired)
    assert frozenset((COM, UPPER)) in wired
    vented = judged("external-upper", f"{COM}=air", f"{UPPER}=air")
    assert vented.symptoms["0"] == ()
    assert "spring-ceiling" in vented.symptoms["50"]


def test_a_four_port_valve_with_its_vent_capped() -> None:
    # At rest the upper side is shut in, and on the way to half duty nothing can leave it.
    one = judged("dual-four-port", f"{E}=cap", f"{TAP}=cap")
    assert one.drive == "stop"
    assert "overboost" in one.symptoms["0"]
    assert "overboost" in one.symptoms["50"]
    assert set(one.symptoms) == {"0", "50", "100"}


def test_air_shut_in_above_the_diaphragm_at_rest_is_stop() -> None:
    shut = [f"{TAP}={NO}", f"{UPPER}={NC}", f"signal-tee.other={COM}"]
    one = judged("external-upper", *shut)
    assert "overboost" in one.symptoms["0"]
    assert one.drive == "stop"


def test_a_signal_taken_after_the_throttle_opens_late_after_every_lift() -> None:
    # Common practice, no source: it lags on re-opening, so boost overshoots and swings.
    one = judged("external-single", f"{NO}={MANIFOLD}", f"{NIPPLE}=cap")
    assert {"spike", "hunting"} <= set(one.symptoms["0"])
    assert one.drive == "caution"
    assert any("after the throttle" in reason for reason in one.because)
