from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.pulls import find
from expert.evidence.log.trace import trace_of, traces
from tests.evidence.log.drives import (
    PULL_FROM_S,
    changed,
    flat,
    joined,
    made,
    only_pull,
    without,
)


def test_even_steps_over_uneven_rows() -> None:
    drive = made(flat(69.0))
    jitter = np.random.default_rng(1).uniform(-0.02, 0.02, drive.time_s.size)
    from dataclasses import replace

    trace = only_pull(replace(drive, time_s=drive.time_s + jitter)).trace
    assert np.allclose(np.diff(trace.time_s), trace.step_s)
    assert trace.level_kpa[trace.at(PULL_FROM_S + 5.0)] == pytest.approx(69.0, abs=0.1)
    assert trace.logged_s.size == trace.boost_kpa.size


def test_it_begins_with_the_throttle_open_and_ends_before_it_closes() -> None:
    drive = made(
        flat(69.0),
        throttle=lambda into: np.where(into > 6.0, 12.0, np.clip(into / 0.5, 0.0, 1.0) * 100.0),
    )
    trace = only_pull(drive).trace
    assert trace.time_s[trace.begin] - PULL_FROM_S == pytest.approx(0.45, abs=0.1)
    assert trace.time_s[trace.end - 1] - PULL_FROM_S == pytest.approx(6.0, abs=0.1)


def test_the_limiter_at_the_top_is_left_out() -> None:
    drive = made(flat(69.0))
    into = drive.time_s - PULL_FROM_S
    held = np.where((into > 7.0) & (into < 10.0), 5_150.0, drive.values["rpm"])
    trace = only_pull(changed(drive, rpm=held)).trace
    assert trace.time_s[trace.end - 1] - PULL_FROM_S == pytest.approx(7.0, abs=0.2)


def test_absent_channels_are_none() -> None:
    trace = only_pull(without(made(flat(69.0)), "rpm", "duty", "target", "speed")).trace
    assert (trace.rpm, trace.duty_pct, trace.target_kpa, trace.speed_km_h) == (None,) * 4


def test_too_few_rows_with_boost_make_no_trace() -> None:
    drive = made(flat(69.0))
    blank = changed(drive, boost=np.where(np.arange(drive.time_s.size) % 60, np.nan, 5.0))
    (pull,) = find(blank, has_duty=True)
    assert trace_of(blank, pull) is None
    assert traces(blank, [pull]) == []


def test_all_traces_have_the_noise_of_the_calmest() -> None:
    swing = made(lambda into: 80.0 + 30.0 * np.sin(14.0 * into), noise_kpa=0.4)
    drive = joined(made(flat(69.0), noise_kpa=0.4), swing)
    found = traces(drive, find(drive, has_duty=True))
    assert [one.noise_kpa == pytest.approx(0.4, abs=0.1) for one in found] == [True, True]


def test_spans_stay_within_the_pull() -> None:
    trace = only_pull(made(flat(69.0))).trace
    span = trace.span(-5, 10_000)
    assert span.from_s == trace.time_s[0]
    assert span.to_s == trace.time_s[-1]
