"""Logs as loggers write them: ``expert/bench/logger.py``."""

from __future__ import annotations

import csv
import statistics
from dataclasses import replace
from itertools import pairwise

import pytest

from expert.bench.logger import CHANNELS, DIALECTS, channels, written
from expert.bench.pull import Row
from expert.bench.session import drive
from tests.bench.cars import car

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
