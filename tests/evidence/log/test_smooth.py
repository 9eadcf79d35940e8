from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.smooth import boxed, deglitched, held, joined, noise


def test_a_gap_is_filled_by_the_value_before_it() -> None:
    nan = float("nan")
    filled = held(np.array([nan, 1.0, nan, nan, 2.0, nan]))
    assert np.isnan(filled[0])
    assert filled[1:].tolist() == [1.0, 1.0, 1.0, 2.0, 2.0]


def test_straight_lines_between_what_is_known() -> None:
    time, values = np.array([0.0, 1.0, 2.0]), np.array([0.0, np.nan, 4.0])
    found = joined(time, values, np.array([0.5, 1.0, 3.0]))
    assert found is not None
    assert found.tolist() == [1.0, 2.0, 4.0]
    assert joined(time, np.array([np.nan, 1.0, np.nan]), time) is None


@given(
    st.lists(st.floats(0.01, 1.0), min_size=5, max_size=40),
    st.floats(0.05, 3.0),
    st.floats(-5.0, 5.0),
)
def test_means_leave_a_straight_line_as_it_is(
    steps: list[float], width_s: float, slope: float
) -> None:
    time = np.cumsum(np.array(steps))
    line = 3.0 + slope * time
    assert np.allclose(boxed(time, line, time, width_s), line, atol=1e-6)


def test_means_of_a_sine_shrink_as_a_box_filter_does() -> None:
    # The response of a moving mean of width w at frequency f is sin(pi f w) / (pi f w), as
    # textbooks on signals have it; from memory.
    time = np.arange(0.0, 10.0, 0.001)
    smoothed = boxed(time, np.sin(2.0 * np.pi * 2.0 * time), time, 0.2)
    assert np.isclose(smoothed[2000:8000].max(), np.sinc(2.0 * 0.2), atol=1e-3)


def test_noise_on_a_slow_signal() -> None:
    draw = np.random.default_rng(1)
    time = np.arange(4_000) / 20.0
    rows = 60.0 + 5.0 * np.sin(time / 10.0) + draw.normal(0.0, 0.7, time.size)
    assert abs(noise(rows) - 0.7) < 0.05
    assert noise(np.arange(3.0)) == 0.0


def test_a_lone_wild_row_is_mended_and_a_step_is_not() -> None:
    rows = np.array([10.0, 10.0, 900.0, 12.0, 12.0, 80.0, 80.0])
    assert deglitched(rows).tolist() == [10.0, 10.0, 11.0, 12.0, 12.0, 80.0, 80.0]
    assert deglitched(np.array([1.0, 500.0])).tolist() == [1.0, 500.0]
