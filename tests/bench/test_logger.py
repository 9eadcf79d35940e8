"""Logs as loggers write them: ``expert/bench/logger.py``."""

from __future__ import annotations

import csv
import statistics
from dataclasses import replace
from itertools import pairwise

import pytest

from expert.bench.faults import broken
from expert.bench.logger import CHANNELS, DIALECTS, channels, written
from expert.bench.pull import Row
from expert.bench.session import drive
from tests.bench.cars import car, pulled

ROWS = drive(car("internal"), [0.0])[:400]


def table(name: str, rows: list[Row] = ROWS, seed: int = 1) -> list[list[str]]:
    """The file as the csv module of the standard library reads it, without its preamble."""
    dialect = DIALECTS[name]
    text = written(rows, dialect, seed).removeprefix("\ufeff")
    lines = text.splitlines()[len(dialect.preamble) :]
    return list(csv.reader(lines, delimiter=dialect.delimiter))


@pytest.mark.parametrize("name", DIALECTS)
def test_every_dialect_is_a_table(name: str) -> None:
    dialect = DIALECTS[name]
    assert len(dialect.names) == len(CHANNELS)
    found = table(name)
    whole = found[:-1] if dialect.cut else found
    assert {len(row) for row in whole} == {1 + len(channels(dialect))}
    headers = 2 if dialect.units == "row" else 1
    if not dialect.repeats:
        assert len(found) == len(ROWS) + headers


@pytest.mark.parametrize("name", ["plain", "semicolon", "milliseconds", "clock"])
def test_boost_comes_back_as_it_was_read(name: str) -> None:
    """In the dialect's own unit; the mean of the noise is next to nothing."""
    dialect = DIALECTS[name]
    kpa = {"kPa": 1.0, "mbar": 0.1, "bar": 100.0, "psi": 6.894757}[dialect.pressure]
    cells = [row[2] for row in table(name)[-len(ROWS) :]]
    values = [kpa * float(cell.replace(",", ".")) for cell in cells]
    truth = [(row.read_pa - (row.ambient_pa if dialect.gauge else 0.0)) / 1e3 for row in ROWS]
    off = [a - b for a, b in zip(values, truth, strict=True)]
    assert statistics.mean(off) == pytest.approx(0.0, abs=0.15)
    assert 0.2 < statistics.stdev(off) < 0.9


def test_times() -> None:
    assert table("plain")[1][0] == "0.000"
    assert table("plain")[2][0] == "0.050"
    assert table("semicolon")[3][0] == "0,050"
    assert table("milliseconds")[2][0] == "50"
    late = [replace_time(row, 25.0 + row.time_s) for row in ROWS]
    assert table("clock")[1][0] == "11:59:40.000"
    assert table("clock", late)[1][0] == "12:00:05.000"


def replace_time(row: Row, seconds: float) -> Row:
    return row._replace(time_s=seconds)


def test_forms_of_the_file() -> None:
    semicolon = written(ROWS, DIALECTS["semicolon"], 1)
    assert semicolon.startswith("\ufefftime;n_engine")
    assert "\r\ns;rpm;mbar" in semicolon
    assert written(ROWS, DIALECTS["milliseconds"], 1).startswith('"Timestamp (ms)","Engine RPM')
    assert written(ROWS, DIALECTS["clock"], 1).startswith("Invented logger")
    untidy = written(ROWS, DIALECTS["untidy"], 1)
    assert not untidy.endswith("\n")
    assert ",," in untidy
    lines = untidy.splitlines()
    assert any(one == other for one, other in pairwise(lines))


def test_a_seed_draws_the_same_noise_again() -> None:
    assert table("plain") == table("plain")
    assert table("plain") != table("plain", seed=2)


def test_nothing_turns_below_zero() -> None:
    quiet = replace(DIALECTS["plain"], names=DIALECTS["plain"].names)
    for row in csv.DictReader(written(ROWS, quiet, 3).splitlines()):
        assert float(row["Engine speed (rpm)"]) >= 0.0
        assert float(row["Throttle (%)"]) >= 0.0


def clipped_at(rows: list[Row], most_pa: float) -> list[Row]:
    return [row._replace(read_pa=min(row.read_pa, most_pa)) for row in rows]


def test_a_sensor_at_the_end_of_its_range_reads_one_number() -> None:
    """The noise is that of the pressure, so what is past the end of the range does not show it."""
    rows = pulled(car("internal"), 0.0)
    top = sorted(row.read_pa for row in rows)[len(rows) // 2]
    cells = [float(row[2]) for row in table("plain", clipped_at(rows, top))[1:]]
    past = [cell for cell, row in zip(cells, rows, strict=True) if row.read_pa >= top]
    assert set(past) == {round(top / 1e3, 1)}
    assert max(cells) == past[0]
    below = [
        1e3 * cell - row.read_pa
        for cell, row in zip(cells, rows, strict=True)
        if row.read_pa < top - 5e3
    ]
    assert 300.0 < statistics.stdev(below) < 700.0


def test_a_sensor_at_its_end_does_not_waver() -> None:
    # Common practice, no source: the top of a trace is cut off at one number.
    rows = drive(broken(car("internal"), ["map-clipped"], 1), [0.0, None])
    most = max(row.read_pa for row in rows)
    there = [k for k, row in enumerate(rows) if row.read_pa == most]
    assert len(there) > 20
    lines = written(rows, DIALECTS["plain"], 1).splitlines()
    column = lines[0].split(",").index("MAP (kPa)") if "MAP (kPa)" in lines[0] else 2
    cells = [line.split(",")[column] for line in lines[-len(rows) :]]
    assert {cells[k] for k in there} == {f"{most / 1e3:.1f}"}
