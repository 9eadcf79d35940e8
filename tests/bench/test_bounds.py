"""A number held between two others: ``expert/bench/bounds.py``."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from expert.bench.bounds import within

NUMBERS = st.floats(allow_nan=False)


@given(NUMBERS, NUMBERS, NUMBERS)
def test_it_is_the_middle_of_the_three(value: float, one: float, other: float) -> None:
    least, most = min(one, other), max(one, other)
    assert within(value, least, most) == sorted((value, least, most))[1]
