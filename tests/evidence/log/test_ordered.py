"""Time stamps: ``expert/evidence/log/ordered.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.ordered import BETWEEN_S, ordered, time_unit
from expert.evidence.log.units import BY_NAME
from tests.evidence.log.sheets import drive

S, MS = BY_NAME["s"], BY_NAME["ms"]
EVEN = 0.1 * np.arange(200)


def test_plain_seconds_are_kept() -> None:
    one = ordered(EVEN + 5.0, S)
    assert one.time_s.tolist() == (EVEN + 5.0).tolist()
    assert one.rows.tolist() == list(range(200))
    assert (one.notes, one.why) == ((), "")


def test_milliseconds() -> None:
    assert ordered(1e3 * EVEN, MS).time_s == pytest.approx(EVEN)


@pytest.mark.parametrize(
    ("factor", "name"),
    [(1.0, "s"), (1e3, "ms"), (1e6, "µs"), (1.0 / 60.0, "min"), (1.0 / 86_400.0, "d")],
)
def test_the_unit_by_its_steps(factor: float, name: str) -> None:
    one = drive()
    for start in (0.0, 45_000.0):
        unit, why = time_unit(start + factor * one["time"], one["rpm"])
        assert unit is not None
        assert unit.name == name
        assert "steps" in why


def test_a_row_a_second_is_told_from_a_thousand_by_the_engine() -> None:
    rpm = np.interp(np.arange(300), [0, 100, 200, 299], [850, 2_000, 6_000, 900])
    unit, _ = time_unit(np.arange(300.0), rpm)
    assert unit == S
    # As milliseconds a pull of 4 s, as seconds one of an hour.
    quick = np.arange(0.0, 4_000.0)
    unit, _ = time_unit(quick, np.linspace(2_000, 6_000, 4_000))
    assert unit is not None


def test_a_unit_that_cannot_be_told() -> None:
    assert time_unit(np.zeros(50), None)[0] is None
    assert time_unit(1e12 * np.arange(50.0), None)[0] is None


def test_shuffled_rows_are_sorted() -> None:
    order = np.random.default_rng(3).permutation(200)
    one = ordered(EVEN[order], S)
    assert one.time_s.tolist() == EVEN.tolist()
    assert order[one.rows].tolist() == list(range(200))
    assert "not in the order of their times" in one.notes[0]


def test_lines_written_twice_are_dropped() -> None:
    twice = np.sort(np.concatenate((EVEN, EVEN[[3, 50, 51]])))
    one = ordered(twice, S)
    assert one.time_s.tolist() == EVEN.tolist()
    assert one.notes == ("3 rows with the time of the row before were left out.",)


def test_coarse_stamps_are_spread() -> None:
    one = ordered(np.floor(EVEN), S)
    assert len(one.time_s) == 200
    assert np.diff(one.time_s) == pytest.approx(0.1)
    assert "share each time stamp" in one.notes[0]


def test_blank_stamps() -> None:
    stamps = EVEN.copy()
    stamps[[7, 9]] = np.nan, np.inf
    one = ordered(stamps, S)
    assert len(one.time_s) == 198
    assert one.notes[0] == "2 rows without a time were left out."


def test_two_logs_in_one_file() -> None:
    one = ordered(np.concatenate((EVEN, EVEN[:100])), S)
    assert len(one.time_s) == 300
    assert one.rows.tolist() == list(range(300))
    assert one.time_s[200] == pytest.approx(EVEN[-1] + BETWEEN_S)
    assert "starts anew once: the file holds several logs" in one.notes[0]
    assert "begin at 29.9 s" in one.notes[0]


def test_halves_the_wrong_way_round_are_sorted() -> None:
    one = ordered(np.concatenate((EVEN[100:], EVEN[:100])), S)
    assert one.time_s.tolist() == EVEN.tolist()
    assert "sorted" in one.notes[0]


def test_gaps_are_noted() -> None:
    one = ordered(np.concatenate((EVEN, EVEN + 60.0)), S)
    assert one.notes == ("There is a gap of 40.1 s after 19.9 s.",)


def test_a_clock_counts_from_its_first_row() -> None:
    one = ordered(43_180.0 + EVEN, S)
    assert one.time_s == pytest.approx(EVEN)
    assert "11:59:40.000" in one.notes[0]
    epoch = ordered(1e3 * (1_700_000_000.0 + EVEN), MS)
    assert epoch.time_s == pytest.approx(EVEN, abs=1e-3)


@pytest.mark.parametrize(
    "stamps", [np.zeros(0), np.zeros(50), np.full(50, np.nan), np.array([1.0])]
)
def test_no_time_at_all(stamps: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
    one = ordered(stamps, S)
    assert len(one.time_s) == len(one.rows) == 0
    assert one.why


@given(
    st.lists(
        st.one_of(
            st.floats(-1e6, 1e9),
            st.sampled_from([0.0, 0.1, 0.2, 1.0, np.nan, np.inf]),
        ),
        max_size=60,
    )
)
def test_time_always_rises(values: list[float]) -> None:
    stamps = np.array(values)
    one = ordered(stamps, S)
    assert (np.diff(one.time_s) > 0.0).all()
    assert len(one.time_s) == len(one.rows) <= len(stamps)
    assert len(set(one.rows.tolist())) == len(one.rows)
    assert np.isfinite(stamps[one.rows]).all()
