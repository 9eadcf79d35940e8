"""How a table is written: ``expert/evidence/log/dialect.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.cells import Signs
from expert.evidence.log.dialect import BLANKS, Dialect, is_data, joined, recognised, split, top
from expert.evidence.log.record import Header


@pytest.mark.parametrize(
    ("lines", "delimiter", "width", "point"),
    [
        (["0.1,1000,5.5", "0.2,1100,5.6"], ",", 3, "."),
        (["0,1;1000;5,5", "0,2;1100;5,6"], ";", 3, ","),
        (["0,1\t1000\t5,5", "0,2\t1100\t5,6"], "\t", 3, ","),
        (["0.1 1000   5.5", "  0.2 1100 5.6"], BLANKS, 3, "."),
        (["0,1 1000 5,5", "0,2 1100 5,6"], BLANKS, 3, ","),
        (["0.1|1000|5.5"], "|", 3, "."),
        (["12:00:00,5;1;2", "12:00:01,5;1;2"], ";", 3, "."),
        (["2026-05-01 12:00:00.5,1,2", "2026-05-01 12:00:01.5,1,2"], ",", 3, "."),
        (['"0,1","1000"', '"0,2","1100"'], ",", 2, ","),
        (["limit = 5", "size = 6", "age = 7"] * 9 + ["0.1;5;6", "0.2;5;6"], ";", 3, "."),
    ],
)
def test_a_dialect_is_recognised(lines: list[str], delimiter: str, width: int, point: str) -> None:
    found = recognised(lines)
    assert found is not None
    assert (found.delimiter, found.width, found.signs.point) == (delimiter, width, point)


def test_no_table_is_none() -> None:
    assert recognised([]) is None
    assert recognised(["it does not build boost", "what now, then"]) is None
    assert recognised(["1", "2", "3"]) is None


COMMAS = Dialect(",", 3, Signs())


def test_the_header_is_looked_for_above_the_numbers() -> None:
    lines = ["Invented, logger", "", "Time,RPM,MAP", "s,rpm,kPa", "0.1,1000,98", "x,y,z"]
    found = top(lines, COMMAS)
    assert found.headers == (Header("Time", "s"), Header("RPM", "rpm"), Header("MAP", "kPa"))
    assert (found.lines, found.named) == (4, True)
    assert found.repeated == ("Time,RPM,MAP", "s,rpm,kPa")


def test_units_may_stand_above_names_and_types_between() -> None:
    assert top(["s,rpm,kPa", "Time,Speed,MAP", "0,1,2"], COMMAS).headers[0] == Header("Time", "s")
    lines = ["Time,Speed,MAP", "int,int,int", "s,rpm,kPa", "0,1,2"]
    assert top(lines, COMMAS).headers[2] == Header("MAP", "kPa")


def test_no_header() -> None:
    found = top(["some words", "0.1,1000,98"], COMMAS)
    assert not found.named
    assert [header.name for header in found.headers] == ["column 1", "column 2", "column 3"]
    assert found.lines == 1


def test_a_delimiter_at_the_end_of_each_line_makes_no_column() -> None:
    found = recognised(["0.1,1000,", "0.2,1100,"])
    assert found is not None
    assert (found.width, found.blank) == (3, 1)
    assert len(top(["Time,RPM,", "0.1,1000,"], found).headers) == 2


def test_quotes_and_blanks_round_cells_go() -> None:
    assert split('"a, b" , c ,"d ""e"""', ",") == ["a, b", "c", 'd "e"']
    assert split("  1   2\t3 ", BLANKS) == ["1", "2", "3"]


def test_lines_of_one_quoted_cell_are_joined_but_not_for_a_stray_quote() -> None:
    assert list(joined(["a", '"b', 'c"', "d"])) == [("a", 1), ('"b\nc"', 2), ("d", 1)]
    stray = ['3" pipe', *["x"] * 30]
    assert list(joined(stray)) == [(line, 1) for line in stray]


@given(st.lists(st.text('a1",\n', max_size=6), max_size=60))
def test_joining_loses_no_line(lines: list[str]) -> None:
    lines = [line.replace("\n", "") for line in lines]
    found = list(joined(lines))
    assert "\n".join(text for text, _ in found) == "\n".join(lines)
    assert sum(height for _, height in found) == len(lines)


def test_a_line_of_numbers() -> None:
    assert is_data(["0.1", "", "N/A"], COMMAS)
    assert is_data(["0.1", "1", "2", ""], COMMAS)
    assert not is_data(["s", "1/min", "kPa"], COMMAS)
    assert not is_data(["0.1", "1"], COMMAS)
    assert not is_data(["", "", ""], COMMAS)
