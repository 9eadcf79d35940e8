"""Names and units of columns: ``expert/evidence/log/headings.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.headings import bare, distinct, heading, is_unit, is_unit_row
from expert.evidence.log.record import Header


@pytest.mark.parametrize(
    ("text", "name", "unit"),
    [
        ("MAP [kPa]", "MAP", "kPa"),
        ("MAP(kPa)", "MAP", "kPa"),
        ("MAP, kPa", "MAP", "kPa"),
        ("MAP / kPa", "MAP", "kPa"),
        ("map_kpa", "map", "kpa"),
        ("Boost psi", "Boost", "psi"),
        ("Boost - kPa", "Boost", "kPa"),
        ("MAP (kPa (abs))", "MAP", "kPa (abs)"),
        ("MAP (abs) (kPa)", "MAP (abs)", "kPa"),
        ("MAP (absolute)", "MAP (absolute)", ""),
        ("MAP [foo]", "MAP", "foo"),
        ("Lambda [-]", "Lambda", "-"),
        ("Engine speed, rpm", "Engine speed", "rpm"),
        ("Engine RPM", "Engine RPM", ""),
        ("Wideband AFR", "Wideband AFR", ""),
        ("A/F", "A/F", ""),
        ("km/h", "km/h", ""),
        ("Speed km/h", "Speed", "km/h"),
        ("iat_c", "iat", "c"),
        ("lambda_1", "lambda_1", ""),
        ("wb_lambda", "wb_lambda", ""),
        ("Ignition angle", "Ignition angle", ""),
        ("[kPa]", "[kPa]", ""),
        ("", "", ""),
        ("  # Time  (s) ", "Time", "s"),
    ],
)
def test_a_header_cell(text: str, name: str, unit: str) -> None:
    assert heading(text) == Header(name, unit)


@given(st.text(max_size=60))
def test_any_text_is_a_heading_that_can_be_shown(text: str) -> None:
    found = heading(text)
    assert (found.name + found.unit).isprintable()


def test_a_long_header_is_cut() -> None:
    assert len(heading("x_" * 100_000).name) <= 120


def test_units() -> None:
    assert all(map(is_unit, ["kPa", "psi gauge", "1/min", "°C", "%", "bar (abs)"]))
    assert not any(map(is_unit, ["", "boost", "abs"]))
    assert bare(' "[kPa]" ') == "kPa"
    assert bare("kPa (abs)") == "kPa (abs)"


def test_a_row_of_units() -> None:
    assert is_unit_row(["s", "[rpm]", "kPa", "", "-"])
    assert not is_unit_row(["Time", "RPM", "MAP", "Lambda"])
    assert not is_unit_row(["", "-", ""])


@given(st.lists(st.sampled_from(["", "MAP", "map", "MAP 2", "MAP 3", "column 2"]), max_size=9))
def test_names_are_distinct_and_the_first_of_each_stays(names: list[str]) -> None:
    found = [header.name for header in distinct([Header(name, "kPa") for name in names])]
    assert len({name.casefold() for name in found}) == len(names)
    for name in set(names) - {""}:
        first = next(at for at, one in enumerate(names) if one.casefold() == name.casefold())
        assert found[first] == names[first] or not names[first]
