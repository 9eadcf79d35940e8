"""What follows from a plumbing: ``expert/evidence/hookup/physics.py``."""

from __future__ import annotations

import pytest

from expert.bench.gate import trapped_pa
from expert.bench.rig import PINCHED_BORE_MM, SPLIT_BORE_MM
from expert.evidence.hookup.found import found_from
from expert.evidence.hookup.physics import (
    Bypass,
    behaviour,
    lag_s,
    rig_of,
    shut_in_pa,
)
from tests.evidence.hookup.rigs import SPRING_PA, layout

COM, LOWER, UPPER = "three-port.common", "external-gate.lower", "external-gate.upper"


def test_a_rig_has_what_was_found() -> None:
    one = layout("external-single")
    rig = rig_of(one, found_from(one, [], pinched=[COM], split=[LOWER], plugged=False))
    hose = next(hose for hose in rig.hoses if COM in hose)
    assert rig.bores_mm == {hose: PINCHED_BORE_MM}
    assert rig.splits_mm == {hose: SPLIT_BORE_MM}
    assert not rig.plugged
    turned = rig_of(one, found_from(one, [], checks=[f"{COM}={LOWER}"]))
    assert (COM, LOWER) in turned.hoses
    assert turned.checks == {(COM, LOWER)}


@pytest.mark.parametrize(("word", "bore_mm"), [("missing", None), ("blocked", 0.0)])
def test_a_restrictor_that_is_wrong(word: str, bore_mm: float | None) -> None:
    one = layout("manual-bleed", "internal")
    rig = rig_of(one, found_from(one, [], restrictor=word))
    assert rig.restrictors_mm == {"bleed-controller": bore_mm}
    assert rig_of(one, found_from(one, [])).restrictors_mm == {}


def test_air_is_shut_in_only_where_nothing_lets_it_out() -> None:
    one = layout("external-single")
    assert shut_in_pa(rig_of(one, found_from(one, [])), 0.0) == 0.0
    capped = shut_in_pa(rig_of(one, found_from(one, [f"{UPPER}=cap"])), 0.0)
    assert capped == pytest.approx(trapped_pa(101_325.0, 0.29, 1.1) - 101_325.0)
    inside = layout("internal-nipple")
    assert shut_in_pa(rig_of(inside, found_from(inside, [])), 0.0) == 0.0


def test_air_can_be_shut_in_by_the_solenoid_in_one_position() -> None:
    # Vent and upper hose have changed places on the solenoid: at rest the upper side is shut off.
    one = layout("external-upper")
    ends = ["inlet-pipe.tap=three-port.common", f"{UPPER}=three-port.normally-open"]
    shut = ["inlet-pipe.tap=three-port.normally-open", f"{UPPER}=three-port.normally-closed"]
    shut += ["signal-tee.other=three-port.common"]
    rig = rig_of(one, found_from(one, shut))
    assert shut_in_pa(rig, 0.0) > 0.0
    assert shut_in_pa(rig, 0.5) == 0.0
    assert shut_in_pa(rig_of(one, found_from(one, ends)), 0.0) == 0.0


def test_a_pinched_hose_is_late() -> None:
    one = layout("external-single")
    free = lag_s(rig_of(one, found_from(one, [])), 100e3)
    pinched = lag_s(rig_of(one, found_from(one, [], pinched=[COM])), 100e3)
    assert free <= 0.1
    assert pinched > 0.4
    off = lag_s(rig_of(one, found_from(one, [f"{COM}=air"])), 100e3)
    assert off == 0.0


def test_behaviour_of_the_layout() -> None:
    one = layout("internal-nipple", None, "manifold")
    found = behaviour(one, found_from(one, []), SPRING_PA, 80e3)
    assert found.source_pa == 80e3
    assert found.sights["0"].net_pa == pytest.approx(80e3, abs=300)
    assert found.bypass == Bypass(driving=False, lifting=True)
    assert found.off_boost_pa == pytest.approx(0.0, abs=1)
    plain = layout("internal-nipple")
    assert behaviour(plain, found_from(plain, []), SPRING_PA, 80e3).bypass == Bypass(None, None)
