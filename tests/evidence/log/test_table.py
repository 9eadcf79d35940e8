"""Blocks of lines into columns: ``expert/evidence/log/table.py``."""

from __future__ import annotations

import csv
import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.cells import Signs
from expert.evidence.log.dialect import BLANKS, Dialect
from expert.evidence.log.table import Kind, block, texts, values, whole_cells

COMMAS = Dialect(",", 3, Signs())
PLAIN = Kind(Signs())


def read(raw: bytes, dialect: Dialect = COMMAS, kind: Kind = PLAIN) -> list[list[float]]:
    of = block(raw, dialect)
    return [values(of, column, kind).tolist() for column in range(dialect.width)]


def test_even_lines() -> None:
    assert read(b"1,2,3\n4.5,-6,.7\n") == [[1.0, 4.5], [2.0, -6.0], [3.0, 0.7]]


def test_uneven_lines_are_left_out() -> None:
    of = block(b"1,2,3\n4,5\n\n6,7,8,,\n9,9,9,9\n10,11,12\n", COMMAS)
    assert values(of, 0, PLAIN).tolist() == [1.0, 6.0, 10.0]
    assert values(of, 2, PLAIN).tolist() == [3.0, 8.0, 12.0]
    assert of.left_out == 2


@given(st.lists(st.lists(st.sampled_from(["1", "22.5", "", "x"]), min_size=1, max_size=5)))
def test_a_line_counts_if_it_has_its_cells_and_blanks_behind_them(rows: list[list[str]]) -> None:
    raw = "".join(",".join(row) + "\n" for row in rows).encode()
    fine = [row for row in rows if len(row) >= 3 and not any(row[3:])]
    of = block(raw, COMMAS)
    assert [texts(of, 1, 1000), len(of.firsts)] == [[row[1] for row in fine], len(fine)]
    assert of.left_out == sum(row != [""] for row in rows) - len(fine)


@pytest.mark.parametrize(
    "raw",
    [
        b'"1","2.5","3"\n"4","5.5","6"\n',
        b'1,"2.5",3\n4,"5.5","6"\n',
        b" 1 , 2.5,3 \n4,   5.5  ,6\n",
    ],
)
def test_quotes_and_blanks_round_numbers(raw: bytes) -> None:
    assert read(raw) == [[1.0, 4.0], [2.5, 5.5], [3.0, 6.0]]


@given(
    st.lists(
        st.tuples(st.integers(0, 99), st.text('ab", \n', max_size=6), st.integers(0, 99)),
        min_size=1,
        max_size=20,
    )
)
def test_quoted_cells_are_those_of_the_csv_module(rows: list[tuple[int, str, int]]) -> None:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows(rows)
    found = read(stream.getvalue().encode())
    assert found[0] == [float(row[0]) for row in rows]
    assert found[2] == [float(row[2]) for row in rows]


def test_lines_that_are_aligned_by_blanks() -> None:
    blanks = Dialect(BLANKS, 3, Signs())
    assert read(b"  1   2.5\t3\n4 5.5    6  \n", blanks) == [[1.0, 4.0], [2.5, 5.5], [3.0, 6.0]]


def test_repeated_headers_go() -> None:
    of = block(b"1,2,3\nTime,RPM,MAP\n4,5,6\n", COMMAS, [b"Time,RPM,MAP"])
    assert values(of, 0, PLAIN).tolist() == [1.0, 4.0]
    assert of.left_out == 0


def test_unusual_cells_are_read_one_by_one() -> None:
    found = values(block(b"1e2,0,0\nN/A,0,0\non,0,0\n5 kPa,0,0\n,0,0\n", COMMAS), 0, PLAIN)
    np.testing.assert_array_equal(found, [100.0, np.nan, 1.0, 5.0, np.nan])


def test_clock_times() -> None:
    found = read(b"11:59:59.5,0,0\n12:00:00.0,0,0\nx,0,0\n", kind=Kind(Signs(), is_clock=True))
    np.testing.assert_array_equal(found[0], [43199.5, 43200.0, np.nan])


@pytest.mark.parametrize(
    ("last", "expected"),
    [(b"5,6,7.5", 7.5), (b"5,6,17.5", 17.5), (b"5,6,7.", np.nan), (b"5,6,7", np.nan)],
)
def test_a_last_cell_without_an_end_counts_if_it_looks_whole(last: bytes, expected: float) -> None:
    found = read(b"1,2,3.5\n3,4,5.5\n" + last)
    np.testing.assert_array_equal(found[2][-1:], [expected])
    assert found[0] == [1.0, 3.0, 5.0]


def test_blocks_do_not_end_within_a_quoted_cell() -> None:
    parts = [b'1,"a\n', b'b",2\n3,c,4\n', b'5,"d', b'",6\n']
    found = list(whole_cells(parts))
    assert b"".join(found) == b"".join(parts)
    assert all(part.count(b'"') % 2 == 0 for part in found)


def test_a_stray_quote_does_not_hold_up_the_file() -> None:
    parts = [b'1,3" pipe,2\n', *[b"1,x,2\n" * 20_000] * 4]
    found = list(whole_cells(parts))
    assert b"".join(found) == b"".join(parts)
    assert max(map(len, found)) < 250_000
    assert len(block(found[0], COMMAS).firsts) > 0


@given(st.lists(st.floats(-1e9, 1e9), min_size=1), st.sampled_from([".", ","]))
def test_exponents_whatever_the_decimal_sign(numbers: list[float], point: str) -> None:
    cells = [f"{number:.5e}".replace(".", point) for number in numbers]
    semicolons = Dialect(";", 2, Signs(point))
    raw = "".join(f"{cell};1\n" for cell in cells).encode()
    found = read(raw, semicolons, Kind(Signs(point)))[0]
    assert found == [float(cell.replace(point, ".")) for cell in cells]


def test_what_is_too_large_is_nan() -> None:
    assert np.isnan(read(b"1e999,0,0\n-1e999,0,0\n")[0]).all()
