"""The gate in the exhaust: ``expert/bench/wastegate.py``."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.gate import Gate
from expert.bench.wastegate import Wastegate, external, internal

PSI = 6894.757293168  # NIST Special Publication 811, appendix B.8
# 45 mm effective, 50 kPa of preload, 6 N/mm over 10 mm: full open at 87.73 kPa.
PLAIN = Wastegate(Gate(), 0.030)
pressures = st.floats(0.0, 200e3)


def lift(gate: Wastegate, lower: float, upper: float = 0.0, exhaust: float = 0.0) -> float:
    return gate.lift_m(0.0, lower, upper, exhaust, SEA_LEVEL_PA)


def test_lift_is_that_of_the_balance_of_forces() -> None:
    assert lift(PLAIN, 50e3) == pytest.approx(0.0, abs=1e-6)
    assert lift(PLAIN, 87.73e3) == pytest.approx(0.010, abs=1e-5)
    assert lift(PLAIN, 68.87e3) == pytest.approx(PLAIN.gate.lift_m(68.87e3))


@given(pressures, pressures, st.floats(0.0, 50e3))
def test_lift_rises_with_pressure_below_and_falls_with_pressure_above(
    lower: float, upper: float, more: float
) -> None:
    gate = internal(50e3)
    assert lift(gate, lower, upper) <= lift(gate, lower + more, upper)
    assert lift(gate, lower, upper + more) <= lift(gate, lower, upper)


@given(pressures, st.floats(0.0, 300e3))
def test_exhaust_opens_and_shuts_a_gate_mounted_the_wrong_way_round(
    lower: float, exhaust: float
) -> None:
    gate = external(70e3)
    assert lift(gate, lower, 0.0, exhaust) >= lift(gate, lower)
    assert lift(replace(gate, pushes=-1.0), lower, 0.0, exhaust) <= lift(gate, lower)


def test_drag_keeps_the_valve_where_it_is() -> None:
    dragging = replace(PLAIN, gate=replace(PLAIN.gate, friction_n=20.0))
    sound = lift(PLAIN, 70e3)
    opening = dragging.lift_m(0.0, 70e3, 0.0, 0.0, SEA_LEVEL_PA)
    shutting = dragging.lift_m(0.010, 70e3, 0.0, 0.0, SEA_LEVEL_PA)
    assert opening < sound < shutting
    assert shutting - opening == pytest.approx(2 * 20.0 / 6_000.0)
    assert dragging.lift_m(sound, 70e3, 0.0, 0.0, SEA_LEVEL_PA) == sound


def test_air_shut_in_is_a_second_spring() -> None:
    """14 psi with every upper port capped: boost of 20 psi and more; common practice, no source."""
    shut = replace(external(14 * PSI), shut_in_m3=44e-6)
    opened = lift(external(14 * PSI), 20 * PSI, 0.0, 100e3)
    held = 0.0
    for _ in range(200):
        held += 0.1 * (shut.lift_m(held, 20 * PSI, 0.0, 100e3, SEA_LEVEL_PA) - held)
    assert 0.0 < held < 0.75 * opened


def test_area_is_the_curtain_and_then_the_bore() -> None:
    assert PLAIN.area_m2(0.002) == pytest.approx(0.8 * math.pi * 0.030 * 0.002)
    assert PLAIN.area_m2(0.010) == pytest.approx(0.8 * math.pi / 4 * 0.030**2)
    assert replace(PLAIN, leak_m2=1e-4).area_m2(0.0) == pytest.approx(0.8e-4)


def test_stuck_torn_and_rod_off() -> None:
    assert lift(replace(PLAIN, stuck_m=0.004), 0.0) == 0.004
    assert lift(replace(PLAIN, torn=1.0), 300e3) == 0.0
    assert lift(replace(PLAIN, joined=False), 0.0, 0.0, 20e3) == PLAIN.gate.travel_m
    assert lift(replace(PLAIN, joined=False), 300e3) == 0.0
    assert lift(replace(PLAIN, ajar_m=0.003), 0.0) == 0.003


@given(st.floats(0.0, 0.01), st.floats(1.05e5, 4e5))
def test_flow_rises_with_lift(opened: float, p3: float) -> None:
    less = PLAIN.flow_kg_s(opened, p3, 1.05e5, 1_150.0)
    assert 0.0 <= less <= PLAIN.flow_kg_s(opened + 1e-3, p3, 1.05e5, 1_150.0)
