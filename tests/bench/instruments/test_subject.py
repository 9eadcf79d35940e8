"""A car and its papers: ``expert/bench/instruments/subject.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.subject import breathing, read_kpa, true_kpa
from tests.bench.instruments.subjects import subject


def test_runs_are_driven_once_and_cut_into_pulls() -> None:
    one = subject("internal")
    assert one.rows is one.rows
    assert one.lowest[-1].rpm == pytest.approx(one.mapped[-1].rpm, rel=0.05)
    assert max(row.duty for row in one.lowest) == 0.0 < max(row.duty for row in one.mapped)
    assert len(one.of("pull")) == len(one.lowest) + len(one.mapped)


def test_what_is_read_is_not_always_what_is_there() -> None:
    sound, off = subject("internal"), subject("internal", "map-offset")
    assert read_kpa(sound.lowest[-1]) == pytest.approx(true_kpa(sound.lowest[-1]))
    assert abs(read_kpa(off.lowest[-1]) - true_kpa(off.lowest[-1])) > 10.0


def test_a_gate_that_breathes_has_no_air_shut_in() -> None:
    gate = subject("external", "uppers-capped").car.wastegate
    assert gate.shut_in_m3 is not None
    assert breathing(gate).shut_in_m3 is None
