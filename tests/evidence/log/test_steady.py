from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.steady import (
    cut,
    lowest_boost,
    onset_rpm,
    peak_boost,
    reaches_rpm,
    steady_of,
)
from expert.evidence.log.trace import traces
from expert.units import KPA_PER_PSI
from tests.evidence.log.drives import (
    SPRING_KPA,
    bench,
    changed,
    flat,
    joined,
    made,
    only_pull,
    step_response,
    without,
)


def close(recording: Recording) -> list[Seen]:
    return [seen(one) for one in traces(recording, find(recording, has_duty=True))]


def test_the_peak_needs_a_second_row() -> None:
    drive = made(flat(69.0))
    boost = drive.values["boost"].copy()
    boost[120] = 250.0
    peak = peak_boost(changed(drive, boost=boost))
    assert peak.value == pytest.approx(69.0)
    boost[121] = 120.0
    peak = peak_boost(changed(drive, boost=boost))
    assert peak.value == pytest.approx(120.0)
    assert peak.span is not None
    assert peak.span.from_s <= drive.time_s[121] <= peak.span.to_s


def test_no_peak_of_two_rows() -> None:
    drive = made(flat(69.0))
    blank = np.full(drive.time_s.size, np.nan)
    blank[:2] = 5.0
    assert peak_boost(changed(drive, boost=blank)).value is None


@pytest.mark.parametrize("seed", range(5))
def test_steady_boost_lies_within_its_uncertainty(seed: int) -> None:
    found = steady_of(only_pull(made(flat(69.0), noise_kpa=0.8, seed=seed)))
    assert found.value is not None
    assert abs(found.value - 69.0) <= 1.5 * found.uncertainty
    assert 0.0 < found.uncertainty < 1.0


def test_a_short_pull_that_still_rises_tells_nothing() -> None:
    found = steady_of(only_pull(made(lambda into: 10.0 * into, seconds=3.0)))
    assert found.value is None
    assert "still rising" in found.why


def test_a_whole_pull_that_still_rises_is_worth_its_end() -> None:
    found = steady_of(only_pull(made(lambda into: 0.3 * into**2)))
    assert found.value == pytest.approx(30.0, abs=1.5)


def test_a_pull_that_the_throttle_ended_is_cut() -> None:
    closes = made(lambda into: 12.0 * into, throttle=lambda into: np.where(into > 7.0, 12.0, 100.0))
    assert cut(only_pull(closes))
    assert steady_of(only_pull(closes)).value is None
    assert not cut(only_pull(made(flat(69.0))))


def test_onset_is_where_the_closed_form_reaches_80_per_cent() -> None:
    # Rise of a system of second order, by root finding on its closed form.
    curve = step_response(80.0, 0.7, 2.0)
    reached = brentq(lambda at: float(curve(np.array([at]))[0]) - 64.0, 0.0, math.pi / 2.0)
    found = onset_rpm(only_pull(made(curve, seconds=12.0, rpm=(2_000.0, 6_800.0))))
    assert found.value is not None
    assert found.value == pytest.approx(2_000.0 + 400.0 * reached, abs=max(found.uncertainty, 15.0))


def test_no_onset_where_there_is_none() -> None:
    assert "no rpm" in onset_rpm(only_pull(without(made(flat(69.0)), "rpm"))).why
    assert "too little" in onset_rpm(only_pull(made(flat(2.0)))).why
    assert "began" in onset_rpm(only_pull(made(lambda into: 69.0 + 0.0 * into))).why
    rising = made(lambda into: 10.0 * into, seconds=3.0)
    assert "rising" in onset_rpm(only_pull(rising)).why


def test_boost_at_the_lowest_setting_is_that_of_the_right_pull() -> None:
    drive = joined(made(flat(69.0), noise_kpa=0.5), made(flat(95.0), duty=35.0))
    found = lowest_boost(close(drive), SPRING_KPA, 20.0)
    assert found.value == pytest.approx(69.0, abs=0.6)
    only_high = lowest_boost(close(made(flat(95.0), duty=35.0)), SPRING_KPA, 20.0)
    assert only_high.value is None
    assert "lowest" in only_high.why


def test_boost_that_ran_past_the_spring_counts_although_it_rose_to_the_end() -> None:
    runs = made(lambda into: 40.0 * into, seconds=3.0)
    found = lowest_boost(close(runs), SPRING_KPA, 20.0)
    assert found.value == pytest.approx(120.0, abs=3.0)
    assert lowest_boost(close(runs), None, 20.0).value is None
    short = made(lambda into: 20.0 * into, seconds=3.0)
    assert lowest_boost(close(short), SPRING_KPA, 20.0).value is None


@pytest.mark.parametrize("rig", ["internal", "external", "upper", "four", "tap"])
def test_a_sound_car_makes_its_spring_without_duty(rig: str) -> None:
    # Within 2 psi: common practice, no source.
    found = lowest_boost(close(bench(rig=rig)), SPRING_KPA, 20.0)
    assert found.value == pytest.approx(SPRING_KPA, abs=2.0 * KPA_PER_PSI)


def test_a_missing_seat_ring_leaves_almost_no_boost() -> None:
    # Common practice, no source.
    found = lowest_boost(close(bench("seat-ring-missing")), SPRING_KPA, 20.0)
    assert found.value is not None
    assert found.value < 10.0


def test_an_open_gate_hose_runs_far_past_the_spring() -> None:
    found = lowest_boost(close(bench("signal-off")), SPRING_KPA, 20.0)
    assert found.value is not None
    assert found.value - found.uncertainty > SPRING_KPA + 40.0


def test_the_rpm_at_which_a_level_is_reached() -> None:
    # 10 s from 2,000 to 6,500 rpm; boost rises by 20 kPa/s, so 60 kPa are there after 3 s.
    one = only_pull(made(lambda into: np.minimum(20.0 * into, 80.0)))
    assert reaches_rpm(one, 60.0).value == pytest.approx(2_000.0 + 0.3 * 4_500.0, abs=40.0)
    assert reaches_rpm(one, 90.0).value is None
    assert "no rpm" in reaches_rpm(only_pull(made(flat(69.0), leave_out=("rpm",))), 60.0).why
