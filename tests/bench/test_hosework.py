"""Hoses moved and cut: ``expert/bench/hosework.py``."""

from __future__ import annotations

import pytest

from expert.bench.hosework import (
    capped,
    checked,
    gate_port,
    joined,
    moved,
    narrowed,
    on,
    source_port,
    split,
    swapped,
    uncapped,
    without,
)
from expert.bench.rig import Air, Rig, gate_sees
from tests.bench.cars import CAN, COM, LOWER, NC, NIPPLE, NO, RIGS, TAP

SOUND = RIGS["internal"]
BOOST = Air(100e3, 100e3)


def sees(rig: Rig, duty: float = 0.0) -> float:
    return gate_sees(rig, BOOST, duty).net_pa / BOOST.boost_pa


def test_swapping_twice_changes_nothing() -> None:
    assert swapped(swapped(SOUND, NO, NC), NO, NC) == SOUND
    assert swapped(SOUND, NO, NC).hoses == ((NIPPLE, NC), (COM, CAN), (NO, TAP))
    assert moved(SOUND, {NIPPLE: "manifold.tap"}).hoses[0] == ("manifold.tap", NO)


def test_without_and_capped() -> None:
    assert sees(without(SOUND, CAN)) == pytest.approx(0.0, abs=1e-6)
    hanging = capped(SOUND, NC)
    assert NC in hanging.capped
    assert all(NC not in hose for hose in hanging.hoses)
    assert sees(hanging, 0.5) == pytest.approx(1.0, abs=0.01)
    assert LOWER not in uncapped(capped(RIGS["external"], LOWER), LOWER).capped


def test_narrowed_and_split() -> None:
    assert sees(narrowed(SOUND, CAN, 0.0)) == pytest.approx(0.0, abs=1e-6)
    assert sees(narrowed(SOUND, CAN, 1.0)) == pytest.approx(1.0, abs=1e-3)
    leaking = split(SOUND, CAN, 2.0)
    assert 0.7 < sees(leaking) < 0.99
    assert next(iter(leaking.splits_mm))[1] == CAN


def test_a_check_valve_passes_one_way() -> None:
    assert sees(checked(SOUND, CAN, towards=True)) == pytest.approx(1.0, abs=1e-3)
    assert sees(checked(SOUND, CAN, towards=False)) == pytest.approx(0.0, abs=1e-3)
    assert sees(checked(SOUND, COM, towards=False)) == pytest.approx(1.0, abs=1e-3)


def test_a_hose_takes_the_caps_off() -> None:
    rig = joined(SOUND, NC, "charge-path.pre-throttle-tap")
    assert "charge-path.pre-throttle-tap" not in rig.capped


def test_ports_are_found_by_their_hoses() -> None:
    assert gate_port(RIGS["external"]) == LOWER
    assert source_port(RIGS["tap"]) == "coupler-tap.tap"
    with pytest.raises(ValueError, match=r"no hose on a\.b"):
        on(SOUND, "a.b")
