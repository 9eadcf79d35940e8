"""The compressor: ``expert/bench/compressor.py``."""

from __future__ import annotations

import pytest
from fluids.compressible import isentropic_T_rise_compression
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.air import compressed_k
from expert.bench.compressor import Compressor, compressor_w, ratio_of_power

WHEEL = Compressor()
PA, K = 101_325.0, 298.15
speeds = st.floats(2_000.0, 16_000.0)


@pytest.mark.parametrize(
    ("inlet_k", "efficiency", "known"), [(298.15, 0.70, 391.4342), (288.15, 0.75, 372.2950)]
)
def test_temperature_and_power_as_in_fluids(
    inlet_k: float, efficiency: float, known: float
) -> None:
    """``fluids`` is a library of fluid mechanics; both figures are its answers for a ratio of 2."""
    hot = isentropic_T_rise_compression(inlet_k, 1.0, 2.0, 1.4, efficiency)
    assert hot == pytest.approx(known, abs=1e-3)
    assert compressed_k(inlet_k, 2.0, efficiency) == pytest.approx(hot, abs=1e-3)
    # 1004.69 J/(kg K): 287.05287 * 1.4 / 0.4.
    assert compressor_w(0.1, inlet_k, 2.0, efficiency) == pytest.approx(
        0.1 * 1004.685 * (hot - inlet_k), rel=1e-5
    )


def test_the_power_of_the_regression_point() -> None:
    """0.12682 kg/s, 298.15 K, ratio 1.85, efficiency .72: 10138.8 W."""
    assert compressor_w(0.1268208, 298.15, 1.85, 0.72) == pytest.approx(10_138.8, rel=1e-5)


@given(st.floats(0.02, 0.4), st.floats(1.01, 4.0), st.floats(0.4, 0.85))
def test_power_and_ratio_are_inverse(flow: float, ratio: float, efficiency: float) -> None:
    power = compressor_w(flow, K, ratio, efficiency)
    assert ratio_of_power(power, flow, K, efficiency) == pytest.approx(ratio)


@given(speeds, st.floats(1.0, 3.5), st.floats(0.01, 1.0))
def test_more_pressure_never_means_more_flow(speed: float, ratio: float, more: float) -> None:
    less = WHEEL.flow_kg_s(speed, ratio + more, PA, K)
    assert 0.0 <= less <= WHEEL.flow_kg_s(speed, ratio, PA, K)


@given(speeds, st.floats(1.01, 1.3))
def test_more_speed_means_more_flow_and_more_head(speed: float, faster: float) -> None:
    assert WHEEL.flow_kg_s(speed * faster, 1.0, PA, K) > WHEEL.flow_kg_s(speed, 1.0, PA, K)
    assert WHEEL.ratio_most(speed * faster, K) > WHEEL.ratio_most(speed, K)
    assert WHEEL.flow_kg_s(speed, WHEEL.ratio_most(speed, K) * 1.001, PA, K) == 0.0


@given(speeds, st.floats(0.0, 0.5))
def test_efficiency_stays_below_its_best(speed: float, flow: float) -> None:
    assert 0.0 < WHEEL.efficiency(speed, flow, PA, K) <= WHEEL.efficiency_most


def test_efficiency_falls_off_on_both_sides_and_past_the_limit_of_speed() -> None:
    most = max(range(40), key=lambda k: WHEEL.efficiency(10_000.0, k / 200.0, PA, K))
    assert 5 < most < 35
    best = WHEEL.efficiency(10_000.0, most / 200.0, PA, K)
    assert WHEEL.efficiency(10_000.0, 0.01, PA, K) < best - 0.05
    assert WHEEL.efficiency(10_000.0, 0.22, PA, K) < best - 0.05
    at_limit = WHEEL.efficiency(WHEEL.speed_most, 0.2, PA, K)
    assert WHEEL.efficiency(1.08 * WHEEL.speed_most, 0.2, PA, K) < 0.5 * at_limit
