"""Numbers without a unit, and edges of a measure that no text states."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.rules.missing_unit import bare_numbers
from tests.rules.bench import check, lines


@pytest.mark.parametrize(
    "text",
    [
        "20 kPa (3 psi)",
        "about 5 to 10 %",
        "between 41 and 55 kPa (6 and 8 psi)",
        "1, 2 or 3 times",
        "the code P0234 of a 3-port valve",
        "past 3,000 rpm",
        "it shows 0",
        "12 V or less",
        "13 inches of mercury",
        "-14 kPa",
        "at 20 \u00b0C",
        "a 10 mm bolt",
        "two of them",
    ],
)
def test_numbers_with_a_unit_are_fine(text: str) -> None:
    assert list(bare_numbers(text)) == []


@pytest.mark.parametrize(
    ("text", "bare"),
    [
        ("more than 20?", ["20"]),
        ("20 is much, 30 kPa is more", ["20"]),
        ("5 to 10 of it", ["5"]),
        ("past 3,000 rpm or 4,000 with a large one", ["4,000"]),
        ("0.5 bar and 2.5", ["2.5"]),
    ],
)
def test_bare_numbers_are_found(text: str, bare: list[str]) -> None:
    assert list(bare_numbers(text)) == bare


@given(st.text("0123456789 ,.-torkPa%", max_size=60))
def test_any_text_is_read_to_its_end(text: str) -> None:
    assert all(any(letter.isdigit() for letter in number) for number in bare_numbers(text))


def test_the_place_is_that_of_the_text(tmp_path: Path) -> None:
    more = "  how: [Wait., Pump to 20.]\n"
    text = check(ask="Over 10?", answers="{good: to 5, bad: over 5 kPa}", more=more)
    assert lines("missing-unit", tmp_path, {"checks/glance.yaml": text}) == [
        "checks/glance.yaml:2:8: found 10 without a unit; say of what",
        "checks/glance.yaml:4:16: found 20 without a unit; say of what",
        "checks/glance.yaml:5:19: found 5 without a unit; say of what",
    ]


def test_the_edges_of_a_measure_stand_in_its_texts(tmp_path: Path) -> None:
    more = "  measure: {unit: kPa, against: nothing, up-to: {good: 7}, above: bad}\n"
    files = {"checks/glance.yaml": check(more=more)}
    assert lines("missing-unit", tmp_path, files) == [
        "checks/glance.yaml:4:50: the edge 7 kPa stands in no text of the check, so nobody can"
        " answer by it; say it in the answers"
    ]
    said = check(answers="{good: up to 7 kPa, bad: more than 7 kPa}", more=more)
    assert lines("missing-unit", tmp_path, {"checks/glance.yaml": said}) == []


def test_other_entries_may_count_freely(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp: {title: a lamp of 2}\n"}
    assert lines("missing-unit", tmp_path, files) == []
