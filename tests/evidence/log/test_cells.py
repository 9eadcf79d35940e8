"""One cell as a number: ``expert/evidence/log/cells.py``."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.cells import Signs, is_nothing, number, pointed, signs_of


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_as_python_writes_it(value: float) -> None:
    assert number(repr(value), Signs()) == value
    assert number(repr(value).replace(".", ","), Signs(",")) == value


@given(st.integers(-(10**9), 10**9), st.sampled_from([",", ".", "'"]))
def test_thousands(value: int, sign: str) -> None:
    text = f"{value:,}".replace(",", sign)
    assert number(text, Signs("," if sign == "." else ".", sign)) == value
    spaced = text.replace(sign, "\u202f")
    assert number(spaced, Signs()) == value


@given(st.text(max_size=40))
def test_any_text_is_a_finite_number_or_nan(text: str) -> None:
    assert not math.isinf(number(text, Signs()))


@pytest.mark.parametrize(
    ("text", "value"),
    [("12.5 kPa", 12.5), ("45%", 45.0), ("90°C", 90.0), ("ON", 1.0), ("false", 0.0), ('"7"', 7.0)],
)
def test_units_switches_and_quotes(text: str, value: float) -> None:
    assert number(text, Signs()) == value


@pytest.mark.parametrize(
    "text", ["", "N/A", "0x1F", "1e999", "5 6", "1,5", "12 apples", "--", "1-2"]
)
def test_no_number(text: str) -> None:
    assert math.isnan(number(text, Signs()))


def test_what_says_that_there_is_no_value() -> None:
    assert all(map(is_nothing, ["", " --- ", '"N/A"', "NaN", "ERR", "-Inf"]))
    assert not any(map(is_nothing, ["0", "-1", "on", "errand"]))


def test_pointed_leaves_no_comma_that_would_be_read_as_a_point() -> None:
    assert pointed("1.234,5", Signs(",", ".")) == "1234.5"
    assert pointed("1.5", Signs(",")) != "1.5"


@pytest.mark.parametrize(
    ("columns", "signs"),
    [
        ([["0.5", "1.25"], ["3", "4"]], Signs(".")),
        ([["0,5", "1,25"], ["3", "4"]], Signs(",")),
        ([["1,234.5", "12.0"]], Signs(".", ",")),
        ([["1.234,5", "12,0"]], Signs(",", ".")),
        ([["950", "1,050"], ["0.1", "0.2"]], Signs(".", ",")),
        ([["950", "1,050"]], Signs(".", ",")),
        ([["1,050", "1,075"]], Signs(",")),
        ([["1.050", "1.075"]], Signs(".")),
        ([["1'050.5", "900.0"]], Signs(".", "'")),
        ([["1 050,5", "900,0"]], Signs(",")),
        ([["0,1"], ["1.050"]], Signs(",", ".")),
        ([["5", "6"]], Signs(".")),
    ],
)
def test_the_signs_are_judged_by_all_cells(columns: list[list[str]], signs: Signs) -> None:
    assert signs_of(columns) == signs
