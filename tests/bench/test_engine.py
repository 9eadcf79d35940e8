"""The engine: ``expert/bench/engine.py``."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from expert.bench.air import GAS_CONSTANT
from expert.bench.engine import Engine, behind_throttle, speed_density_kg_s
from expert.bench.flow import flow_function, orifice_kg_s

ENGINE = Engine()


def test_speed_density_as_by_the_density_of_real_air() -> None:
    """2.0 l, 3,000 rpm, VE .90, 200 kPa, 313.15 K: .1001217 kg/s; ``CoolProp`` .1001631."""
    found = speed_density_kg_s(0.90, 2e-3, 3_000.0, 200e3, 313.15)
    assert found == pytest.approx(0.1001217, abs=1e-6)
    real = PropsSI("D", "T", 313.15, "P", 200e3, "Air") * 0.90 * 2e-3 * 3_000.0 / 120.0
    assert real == pytest.approx(0.1001631, abs=2e-6)
    assert found == pytest.approx(real, rel=1e-3)


@given(st.floats(1e-5, 2.26e-3), st.floats(0.002, 0.12), st.floats(260.0, 340.0))
def test_pressure_behind_the_throttle_as_by_a_root_finder(
    area: float, drawn: float, kelvin: float
) -> None:
    """``scipy.optimize.brentq`` on the balance of the flows that the table is made of."""

    def over(ratio: float) -> float:
        passed = orifice_kg_s(area, 1e5, ratio * 1e5, kelvin)
        return drawn * ratio * 1e5 / (GAS_CONSTANT * kelvin) - passed

    exact = brentq(over, 1e-6, 1.0 - 1e-12)
    assert behind_throttle(area, drawn, kelvin) == pytest.approx(exact, abs=2e-3)


def test_a_standing_engine_draws_nothing() -> None:
    assert behind_throttle(1e-3, 0.0, 300.0) == 1.0
    assert flow_function(1.0) == 0.0


@given(st.floats(800.0, 6_500.0), st.floats(1.0, 2.0))
def test_exhaust_pressure_takes_filling_and_torque(rpm: float, back: float) -> None:
    assert ENGINE.filling_at(rpm, back) <= ENGINE.filling_at(rpm, 1.0) <= ENGINE.filling
    low = ENGINE.torque_n_m(0.1, rpm, 2e5, 2e5 * back)
    assert low <= ENGINE.torque_n_m(0.1, rpm, 2e5, 2e5)


@given(st.floats(0.0, 0.5))
def test_heat_of_the_exhaust_has_a_limit(air: float) -> None:
    assert ENGINE.exhaust_k <= ENGINE.exhaust_temperature_k(air) <= ENGINE.exhaust_most_k


def test_torque_takes_no_more_than_the_fuel_holds() -> None:
    """Work at the crankshaft is a usual share of the heat of the fuel: 25 to 36 %."""
    air, rpm = 0.13, 4_000.0
    work = ENGINE.torque_n_m(air, rpm, 180e3, 200e3) * rpm * 6.283185 / 60.0
    assert 0.25 < work / (air / ENGINE.mixture * 44e6) < 0.36


@given(st.floats(0.0, 0.99), st.floats(0.005, 0.01))
def test_the_throttle_opens_with_its_travel(share: float, more: float) -> None:
    assert 0.0 < ENGINE.throttle_area_m2(share) < ENGINE.throttle_area_m2(share + more)
