"""A number becomes the answer whose bin it falls into."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.measured import SpringUnknownError, measured_answer, reads_pressure
from expert.model import Measure

BOOST = Measure(unit="kPa", against="spring", up_to={"below": -14.0, "on": 20.0}, above="above")
FIRST = Measure(unit="percent", against="spring", up_to={"low": -15.0, "near": 15.0}, above="high")
DROP = Measure(unit="kPa", against="nothing", up_to={"even": 7.0}, above="drop")
SHARE = Measure(unit="percent", against="nothing", up_to={"small": 15.0}, above="large")

SPRING_KPA = 80.0


@pytest.mark.parametrize(
    ("measure", "value", "answer"),
    [
        (BOOST, 60.0, "below"),
        (BOOST, 66.0, "below"),  # the upper edge belongs to its bin
        (BOOST, 66.1, "on"),
        (BOOST, 100.0, "on"),
        (BOOST, 100.1, "above"),
        (FIRST, 67.0, "low"),  # 80 kPa less 15 % is 68 kPa
        (FIRST, 69.0, "near"),
        (FIRST, 92.0, "near"),
        (FIRST, 93.0, "high"),
        (DROP, 7.0, "even"),
        (DROP, 7.5, "drop"),
        (SHARE, 15.0, "small"),
        (SHARE, 40.0, "large"),
    ],
)
def test_bins(measure: Measure, value: float, answer: str) -> None:
    assert measured_answer(measure, value, SPRING_KPA) == answer


@given(st.floats(-100.0, 700.0), st.floats(-100.0, 700.0))
def test_a_larger_reading_is_never_a_lower_bin(one: float, other: float) -> None:
    order = [*BOOST.up_to, BOOST.above]
    low, high = sorted((one, other))
    assert order.index(measured_answer(BOOST, low, SPRING_KPA)) <= order.index(
        measured_answer(BOOST, high, SPRING_KPA)
    )


def test_without_a_spring_only_what_needs_none() -> None:
    with pytest.raises(SpringUnknownError, match="spring"):
        measured_answer(BOOST, 60.0, None)
    assert measured_answer(DROP, 60.0, None) == "drop"


def test_what_is_read() -> None:
    assert [reads_pressure(measure) for measure in (BOOST, FIRST, DROP, SHARE)] == [
        True,
        True,
        True,
        False,
    ]
