"""Whole columns of numbers out of bytes: ``expert/evidence/log/digits.py``."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.log import clock, digits

decimals = st.tuples(st.floats(-1e6, 1e6), st.integers(0, 6)).map(lambda x: f"{x[0]:.{x[1]}f}")
anything = st.text("0123456789.,+-eE: x", max_size=8)


def read(cells: list[str], maker: digits.Maker, signed: bool) -> tuple[list[float], list[bool]]:
    raw = [cell.encode() for cell in cells]
    data = np.frombuffer(b",".join(raw) + b",", np.uint8)
    ends = np.cumsum([len(cell) + 1 for cell in raw]) - 1
    begins = ends - [len(cell) for cell in raw]
    values, known = digits.numbers(data, begins, ends, maker, signed)
    return values.tolist(), known.tolist()


@settings(max_examples=300)
@given(st.lists(decimals | anything, min_size=1, max_size=30))
def test_what_is_known_is_what_float_says(cells: list[str]) -> None:
    values, known = read(cells, digits.decimal(ord(".")), signed=True)
    for cell, value, sure in zip(cells, values, known, strict=True):
        if sure and cell.strip():
            assert value == float(cell), cell
        if sure and not cell:
            assert np.isnan(value)


@given(st.lists(decimals, min_size=1, max_size=30), st.integers(0, 3))
def test_plain_numbers_of_a_column_are_all_known(cells: list[str], places: int) -> None:
    alike = [f"{float(cell):.{places}f}" for cell in cells]
    values, known = read(alike, digits.decimal(ord(".")), signed=True)
    assert all(known)
    assert values == [float(cell) for cell in alike]


def test_a_decimal_comma() -> None:
    values, known = read_commas(["1;5", "22;75", "3"])
    assert values == [1.5, 22.75, 3.0]
    assert all(known)


def read_commas(cells: list[str]) -> tuple[list[float], list[bool]]:
    return read(cells, digits.decimal(ord(";")), signed=True)


def test_numbers_of_too_many_digits_are_left_to_others() -> None:
    _, known = read(["0.1234567890123456789", "12345678901234567890"], digits.decimal(46), True)
    assert known == [False, False]


times = st.times().map(lambda time: time.isoformat(timespec="milliseconds"))
minutes = st.tuples(st.integers(0, 59), st.integers(0, 599)).map(
    lambda x: f"{x[0]:02d}:{x[1] / 10:04.1f}"
)
halves = st.times().map(lambda time: time.strftime("%I:%M:%S %p"))
dates = st.datetimes().map(lambda date: date.strftime("%Y-%m-%d %H:%M:%S.") + "250")


@settings(max_examples=200)
@given(st.lists(st.one_of(times, minutes, halves, dates, anything), min_size=1, max_size=20))
def test_clock_times_are_those_read_one_by_one(cells: list[str]) -> None:
    first = 700_000
    values, known = read(cells, digits.clock_time(first), signed=False)
    for cell, value, sure in zip(cells, values, known, strict=True):
        if sure and cell:
            assert value == clock.seconds(cell, first), cell


def test_the_hour_may_turn() -> None:
    values, known = read(["11:59:59.9", "12:00:00.0"], digits.clock_time(0), signed=False)
    assert (values, known) == ([43199.9, 43200.0], [True, True])


@given(
    st.lists(
        st.sampled_from(["-", "+", "", "-1", "+1.5", "--1", "12345678.5", "1.2.3"]), min_size=1
    )
)
def test_signs_are_no_numbers_by_themselves(cells: list[str]) -> None:
    values, known = read(cells, digits.decimal(ord(".")), signed=True)
    for cell, value, sure in zip(cells, values, known, strict=True):
        assert not (sure and cell in {"-", "+", "--1", "1.2.3"})
        if sure and cell:
            assert value == float(cell)
