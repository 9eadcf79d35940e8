from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from expert.evidence.log.slopes import middle, theil_sen


def test_one_wild_point_does_not_move_the_slope() -> None:
    # 2 x + 1 with its last value at 100: scipy.stats.theilslopes gives 2.0, least squares 6.418.
    x = np.arange(10.0)
    y = 2.0 * x + 1.0
    y[9] = 100.0
    line = theil_sen(x, y)
    assert line is not None
    assert line.slope == pytest.approx(2.0)
    assert np.polyfit(x, y, 1)[0] == pytest.approx(6.418, abs=1e-3)
    assert line.at(0.0) == pytest.approx(1.0)


@given(st.integers(0, 10_000), st.integers(5, 60), st.floats(0.1, 20.0))
def test_slope_and_interval_are_those_of_scipy(seed: int, count: int, spread: float) -> None:
    draw = np.random.default_rng(seed)
    x = np.sort(draw.uniform(0.0, 50.0, count))
    y = 3.0 * x + draw.normal(0.0, spread, count)
    line = theil_sen(x, y)
    expected = theilslopes(y, x)
    assert line is not None
    assert line.slope == pytest.approx(expected.slope)
    assert line.intercept == pytest.approx(expected.intercept)
    assert line.low == pytest.approx(expected.low_slope, abs=1e-9)
    assert line.high == pytest.approx(expected.high_slope, abs=1e-9)


def test_the_interval_holds_the_slope_as_often_as_it_says() -> None:
    held = 0
    for seed in range(400):
        draw = np.random.default_rng(seed)
        x = np.linspace(0.0, 1.0, 25)
        line = theil_sen(x, 4.0 * x + draw.normal(0.0, 1.0, x.size))
        assert line is not None
        held += line.low <= 4.0 <= line.high
    assert 370 <= held <= 396


def test_points_at_one_place_have_no_slope() -> None:
    assert theil_sen(np.ones(9), np.arange(9.0)) is None
    assert theil_sen(np.arange(2.0), np.arange(2.0)) is None


def test_the_middle_with_its_interval() -> None:
    inside = 0
    for seed in range(400):
        rows = np.random.default_rng(seed).normal(10.0, 2.0, 60)
        found, doubt = middle(rows, rows.size)
        inside += abs(found - 10.0) <= doubt
    assert 360 <= inside <= 397
