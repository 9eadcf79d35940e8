"""The table of what the gate sees: ``expert/bench/gatemap.py``."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.faults import broken
from expert.bench.gatemap import gate_map, lag_s
from expert.bench.hosework import joined, moved, narrowed
from expert.bench.rig import Air, gate_sees
from tests.bench.cars import CAN, COM, LOWER, NIPPLE, RIGS, UPPER, car

HERTZ = 30.0


@pytest.mark.parametrize("name", ["internal", "four", "upper"])
@pytest.mark.parametrize(("boost", "duty"), [(40e3, 0.0), (110e3, 0.3), (90e3, 0.7), (60e3, 1.0)])
def test_the_table_agrees_with_the_network(name: str, boost: float, duty: float) -> None:
    seen = gate_map(RIGS[name], None, SEA_LEVEL_PA, HERTZ).seen(boost, boost, duty)
    exact = gate_sees(RIGS[name], Air(boost, boost), duty, HERTZ)
    assert seen.lower_pa == pytest.approx(exact.lower_pa, abs=3e3)
    assert seen.upper_pa == pytest.approx(exact.upper_pa, abs=3e3)


@settings(deadline=None, max_examples=40)
@given(st.floats(0.0, 250e3), st.floats(0.0, 0.9), st.floats(0.0, 0.1))
def test_more_duty_never_shows_the_gate_more(boost: float, duty: float, more: float) -> None:
    table = gate_map(RIGS["internal"], None, SEA_LEVEL_PA, HERTZ)
    assert table.seen(boost, boost, duty + more).lower_pa <= (
        table.seen(boost, boost, duty).lower_pa + 1.0
    )


def test_who_decides_boost_or_manifold() -> None:
    """A source behind the throttle follows the manifold; one before it does not."""
    assert gate_map(RIGS["internal"], None, SEA_LEVEL_PA, HERTZ).by_manifold == (False, False)
    late = moved(RIGS["internal"], {NIPPLE: "manifold.tap"})
    table = gate_map(late, None, SEA_LEVEL_PA, HERTZ)
    assert table.by_manifold == (True, False)
    assert table.seen(100e3, 0.0, 0.0).lower_pa == pytest.approx(0.0, abs=500.0)
    above = joined(RIGS["external"], UPPER, "manifold.tap")
    table = gate_map(above, None, SEA_LEVEL_PA, HERTZ)
    assert table.by_manifold == (False, True)
    idle = table.seen(0.0, -60e3, 0.0)
    assert idle.lower_pa - idle.upper_pa == pytest.approx(60e3, abs=1e3)


@pytest.mark.parametrize("name", ["internal", "four", "upper"])
@given(st.floats(-80e3, 320e3), st.floats(0.0, 1.0))
def test_in_between_the_table_is_linear(name: str, boost: float, duty: float) -> None:
    """Against numpy, first along the duty, then along the pressure."""
    table = gate_map(RIGS[name], None, SEA_LEVEL_PA, HERTZ)
    sight = table.at(duty)
    grid = (-60e3, 0.0, 70e3, 150e3, 300e3)
    for rows, found in (
        (table.lower, sight.lower_pa(boost, boost)),
        (table.upper, sight.upper_pa(boost, boost)),
        (table.lost, sight.lost_kg_s(boost, boost)),
    ):
        column = [np.interp(duty, table.duties, row) for row in rows]
        assert found == pytest.approx(np.interp(boost, grid, column), rel=1e-9, abs=1e-9)


def test_a_pinched_hose_is_late() -> None:
    pinched = narrowed(RIGS["internal"], CAN, 0.4)
    assert lag_s(pinched) > 5 * lag_s(RIGS["internal"]) > 0.0
    assert lag_s(replace(RIGS["internal"], hoses=())) == 0.0


def test_equal_rigs_share_a_table() -> None:
    one = gate_map(RIGS["internal"], None, SEA_LEVEL_PA, HERTZ)
    same = replace(RIGS["internal"], bores_mm={})
    assert gate_map(same, None, SEA_LEVEL_PA, HERTZ) is one
    other = narrowed(RIGS["internal"], COM, 1.0)
    assert gate_map(other, None, SEA_LEVEL_PA, HERTZ) is not one


def test_a_controller_by_hand_has_one_column() -> None:
    table = gate_map(RIGS["ball"], 0.3, SEA_LEVEL_PA, HERTZ)
    assert table.duties == (0.3,)
    assert table.seen(100e3, 100e3, 0.0) == table.seen(100e3, 100e3, 1.0)
    assert LOWER not in {port for hose in RIGS["ball"].hoses for port in hose}


@pytest.mark.parametrize(
    ("rig", "cause", "shut"),
    [
        ("internal", "", False),
        ("upper", "", False),
        ("four", "", False),
        ("upper", "upper-vent-blocked", True),
        ("upper", "upper-checkvalve", True),
        ("upper", "upper-vent-boosted", False),
        ("upper", "upper-hose-off", False),
        ("external", "uppers-capped", True),
    ],
)
def test_air_is_shut_in_where_the_upper_side_cannot_breathe(
    rig: str, cause: str, shut: bool
) -> None:
    table = broken(car(rig), cause.split(), 1).gate_map()
    assert (table.shut_in_m3 is not None) == shut
