"""The turbine: ``expert/bench/turbine.py``."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.compressor import compressor_w
from expert.bench.engine import speed_density_kg_s
from expert.bench.turbine import (
    CP_EXHAUST,
    GAMMA_EXHAUST,
    OF_EXHAUST,
    Turbine,
    balanced_ratio,
    p3_of_power,
    turbine_w,
)

# The turbine of published generic parameters.
PUBLISHED = Turbine(capacity=0.017)
P4 = 105e3


def test_the_steady_balance_of_the_textbook() -> None:
    """Isermann, equation 5.4.17, with its example: 2.686133."""
    found = balanced_ratio(1.05, 1150 / 298.15, 0.5, 0.55)
    assert found == pytest.approx(2.686133, abs=1e-6)


def test_the_regression_point() -> None:
    """2.0 l, 4,000 rpm, 180 kPa, compressor 1.85 at .72: p3 195.750 kPa, 44.7 % past the gate."""
    air = speed_density_kg_s(0.95, 2e-3, 4_000.0, 180e3, 313.15)
    assert air == pytest.approx(0.126756, rel=1e-3)
    power = compressor_w(air, 298.15, 1.85, 0.72)
    p3 = p3_of_power(power, PUBLISHED, P4, 1_150.0, 0.70)
    assert p3 == pytest.approx(195.750e3, rel=1e-4)
    exhaust = air * (1.0 + 1.0 / 14.6)
    past = exhaust - PUBLISHED.flow_kg_s(p3, P4, 1_150.0)
    assert past == pytest.approx(0.060582, rel=2e-3)
    assert past / exhaust == pytest.approx(0.447, abs=1e-3)


@given(st.floats(1e3, 2e4), st.floats(0.9, 4.0), st.floats(700.0, 1_300.0))
def test_its_power_is_that_at_its_efficiency(speed: float, expansion: float, kelvin: float) -> None:
    p3 = expansion * P4
    efficiency = PUBLISHED.efficiency(speed, p3, P4, kelvin)
    expected = turbine_w(0.1, p3, P4, kelvin, efficiency)
    assert PUBLISHED.power_w(0.1, speed, p3, P4, kelvin) == pytest.approx(expected)


def stuck_open_ratio(area_m2: float, rpm: float) -> float:
    """Where turbine and compressor balance with the bypass stuck open, at constant efficiency."""

    def excess_w(ratio: float) -> float:
        air = speed_density_kg_s(0.95, 2e-3, rpm, 101_325.0 * ratio, 313.15)
        low, high = P4, 3e6
        for _ in range(60):
            p3 = (low + high) / 2.0
            out = PUBLISHED.flow_kg_s(p3, P4, 1_150.0)
            out += OF_EXHAUST.flow_kg_s(area_m2, p3, P4, 1_150.0)
            low, high = (p3, high) if out < air * (1.0 + 1.0 / 14.6) else (low, p3)
        flow = PUBLISHED.flow_kg_s(low, P4, 1_150.0)
        return turbine_w(flow, low, P4, 1_150.0, 0.70) - compressor_w(air, 298.15, ratio, 0.72)

    low, high = 1.0001, 6.0
    for _ in range(50):
        middle = (low + high) / 2.0
        low, high = (middle, high) if excess_w(middle) > 0.0 else (low, middle)
    return low


@pytest.mark.parametrize(
    ("area_mm2", "known"),
    [
        (315.0, (1.080, 1.215, 1.546, 2.417, 3.259)),
        (554.0, (1.025, 1.060, 1.115, 1.202, 1.345)),
        (866.0, (1.009, 1.021, 1.038, 1.062, 1.094)),
    ],
)
def test_a_bypass_stuck_open(area_mm2: float, known: tuple[float, ...]) -> None:
    """Figures worked out apart from this code, whose inlet pressure is not given: within 15 %."""
    for rpm, ratio in zip((2e3, 3e3, 4e3, 5e3, 6e3), known, strict=True):
        assert stuck_open_ratio(area_mm2 * 1e-6, rpm) - 1.0 == pytest.approx(ratio - 1.0, rel=0.15)


def test_the_turbocharger_of_the_thermodynamics_book() -> None:
    """Cengel and Boles, 8th edition, 7-214: the compressor's efficiency is .642.

    Exhaust falls from 450 to 400 C at .02 kg/s, air of 70 C rises from 95 to 135 kPa at .018 kg/s,
    bearings .95. The heat of the exhaust is that of real air, by ``CoolProp``.
    """
    hot, cooler = (PropsSI("H", "T", k, "P", 1e5, "Air") for k in (723.15, 673.15))
    power = 0.95 * 0.02 * (hot - cooler)
    assert compressor_w(0.018, 343.15, 135 / 95, 1.0) / power == pytest.approx(0.642, abs=0.003)
    # The same power from our turbine, with its own gas: the fall of temperature is in the drop.
    expansion = (1.0 - 50.0 / 723.15) ** (GAMMA_EXHAUST / (GAMMA_EXHAUST - 1.0))
    found = turbine_w(0.02, 1e5, expansion * 1e5, 723.15, 1.0)
    assert found == pytest.approx(0.02 * CP_EXHAUST * 50.0)


@given(st.floats(105.1e3, 5e5), st.floats(1.01, 1.5), st.floats(800.0, 1_250.0))
def test_flow_rises_with_pressure_and_falls_with_heat(p3: float, more: float, t3: float) -> None:
    flow = PUBLISHED.flow_kg_s(p3, P4, t3)
    assert 0.0 < flow < PUBLISHED.flow_kg_s(p3 * more, P4, t3)
    assert PUBLISHED.flow_kg_s(p3, P4, t3 * more) < flow


@given(st.floats(10.0, 20_000.0), st.floats(90e3, 5e5))
def test_efficiency_is_a_share(speed: float, p3: float) -> None:
    assert 0.0 < PUBLISHED.efficiency(speed, p3, P4, 1_100.0) <= PUBLISHED.efficiency_most


def test_nothing_flows_backwards() -> None:
    assert PUBLISHED.flow_kg_s(P4, P4, 1_000.0) == 0.0
    assert turbine_w(0.1, P4, P4, 1_000.0, 0.7) == 0.0
