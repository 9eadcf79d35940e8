"""Times of day: ``expert/evidence/log/clock.py``."""

from __future__ import annotations

import math
from datetime import datetime, time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log import clock


@given(st.times())
def test_a_time_as_the_standard_library_writes_it(value: time) -> None:
    expected = value.hour * 3600 + value.minute * 60 + value.second + value.microsecond / 1e6
    assert clock.is_clock(value.isoformat())
    assert clock.seconds(value.isoformat()) == pytest.approx(expected, abs=1e-9)
    assert clock.seconds(value.strftime("%I:%M:%S %p")) == math.floor(expected)


@given(st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1)), st.sampled_from("T "))
def test_a_date_counts_from_the_first_day(value: datetime, between: str) -> None:
    text = value.isoformat(between)
    assert clock.day(text) == value.toordinal()
    midnight = datetime(value.year, value.month, value.day)
    later = clock.seconds(text, value.toordinal() - 2)
    assert later == pytest.approx((value - midnight).total_seconds() + 2 * 86_400, abs=1e-6)


@pytest.mark.parametrize("text", ["", "12", "1:2:3:4:5", "12:61:00", "13:00:00 pm", "a:b", "25.5"])
def test_no_time(text: str) -> None:
    assert math.isnan(clock.seconds(text))


@given(st.text("0123456789:-./T APM", max_size=25))
def test_any_text_is_a_time_or_nan(text: str) -> None:
    value = clock.seconds(text, 700_000)
    assert math.isnan(value) or clock.is_clock(text)


def test_how_often_times_begin_anew() -> None:
    assert clock.period(["59:59.5", "00:00.0"]) == 3600.0
    assert clock.period(["11:59:59"]) == 86_400.0
    assert clock.period(["2026-05-01 11:59:59"]) == 0.0


def test_times_go_on_over_midnight_and_small_steps_back_stay() -> None:
    day = 86_400.0
    found = clock.unwrapped(np.array([day - 1, np.nan, 0.5, 1.0, 0.8, 2.0]), day)
    np.testing.assert_array_equal(found, [day - 1, np.nan, day + 0.5, day + 1, day + 0.8, day + 2])
    # A line from before midnight that comes late is not another day.
    found = clock.unwrapped(np.array([day - 1, 0.5, day - 0.5, 1.0]), day)
    np.testing.assert_array_equal(found, [day - 1, day + 0.5, day - 0.5, day + 1])
    same = np.array([5.0, 3000.0])
    np.testing.assert_array_equal(clock.unwrapped(same, 3600.0), same)
    assert clock.unwrapped(same, 0.0) is same
