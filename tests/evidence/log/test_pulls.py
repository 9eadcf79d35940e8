from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log import pulls
from expert.evidence.log.pulls import find
from expert.evidence.log.smooth import held
from tests.evidence.log.drives import (
    PULL_FROM_S,
    bench,
    changed,
    flat,
    joined,
    made,
    thinned,
    without,
)

DRIVE = made(flat(69.0))


def test_the_pull_is_where_the_pedal_is_flat() -> None:
    (pull,) = find(DRIVE, has_duty=True)
    assert pull.span.from_s == pytest.approx(PULL_FROM_S, abs=0.06)
    assert pull.span.to_s == pytest.approx(PULL_FROM_S + 10.0, abs=0.06)
    assert (pull.gear, pull.lowest, pull.inferred) == (3, True, False)
    assert DRIVE.time_s[pull.first] == pull.span.from_s
    assert DRIVE.time_s[pull.last - 1] == pull.span.to_s


@pytest.mark.parametrize("absent", [("pedal",), ("pedal", "throttle"), ("gear",), ("rpm",)])
def test_channels_may_be_absent(absent: tuple[str, ...]) -> None:
    (pull,) = find(without(DRIVE, *absent), has_duty=True)
    assert pull.span.to_s - pull.span.from_s == pytest.approx(10.0, abs=1.2)
    assert pull.inferred == ("throttle" in absent)


def test_half_a_pedal_is_no_pull() -> None:
    half = changed(DRIVE, pedal=DRIVE.values["pedal"] / 2.0)
    assert find(without(half, "throttle"), has_duty=True) == ()


def test_pedal_with_the_engine_off_is_no_pull() -> None:
    still = changed(DRIVE, rpm=np.zeros(DRIVE.time_s.size))
    assert find(still, has_duty=True) == ()


def test_a_throttle_that_closes_belongs_to_the_pull() -> None:
    drive = made(flat(69.0), throttle=lambda into: np.where(into > 6.0, 12.0, 100.0))
    (pull,) = find(drive, has_duty=True)
    assert pull.span.to_s == pytest.approx(PULL_FROM_S + 10.0, abs=0.06)


def test_without_a_pedal_the_throttle_ends_it() -> None:
    drive = made(flat(69.0), throttle=lambda into: np.where(into > 6.0, 12.0, 100.0))
    (pull,) = find(without(drive, "pedal"), has_duty=True)
    assert pull.span.to_s == pytest.approx(PULL_FROM_S + 6.0, abs=0.06)


def test_a_lift_in_the_middle_makes_two_pulls() -> None:
    into = DRIVE.time_s - PULL_FROM_S
    lifted = (into > 4.0) & (into < 4.6)
    pedal = np.where(lifted, 0.0, DRIVE.values["pedal"])
    first, second = find(changed(DRIVE, pedal=pedal), has_duty=True)
    assert first.span.to_s < PULL_FROM_S + 4.1 < PULL_FROM_S + 4.5 < second.span.from_s


@pytest.mark.parametrize("absent", [(), ("gear",)])
def test_a_change_of_gear_with_the_pedal_flat_makes_two_pulls(absent: tuple[str, ...]) -> None:
    into = DRIVE.time_s - PULL_FROM_S
    up = (into > 5.0) & (into < 10.0)
    rpm = np.where(up, 0.7 * DRIVE.values["rpm"], DRIVE.values["rpm"])
    gear = np.where(up, 4.0, DRIVE.values["gear"])
    drive = without(changed(DRIVE, rpm=rpm, gear=gear), *absent)
    found = find(drive, has_duty=True)
    assert len(found) == 2
    if not absent:
        assert [pull.gear for pull in found] == [3, 4]
    assert found[0].rpm_per_km_h != found[1].rpm_per_km_h


def test_a_gap_in_time_ends_a_pull() -> None:
    time = DRIVE.time_s + np.where(DRIVE.time_s > PULL_FROM_S + 5.0, 30.0, 0.0)
    from dataclasses import replace

    assert len(find(replace(DRIVE, time_s=time), has_duty=True)) == 2


def test_pulls_in_one_gear_share_their_ratio() -> None:
    drive = joined(made(flat(69.0)), made(flat(69.0)), made(flat(69.0), gear=4))
    one, two, three = find(without(drive, "gear"), has_duty=True)
    assert one.rpm_per_km_h == two.rpm_per_km_h == pytest.approx(48.0, rel=0.02)
    assert three.rpm_per_km_h == pytest.approx(36.0, rel=0.02)
    assert one.gear is None


def test_duty_says_which_pull_was_at_the_lowest_setting() -> None:
    drive = joined(made(flat(69.0)), made(flat(95.0), duty=35.0))
    low, high = find(drive, has_duty=True)
    assert (low.lowest, high.lowest) == (True, False)
    assert high.duty_pct == pytest.approx(35.0, abs=0.5)
    assert all(pull.lowest for pull in find(drive, has_duty=False))
    assert not any(pull.lowest for pull in find(without(drive, "duty"), has_duty=True))


def test_blank_cells_and_five_rows_a_second() -> None:
    draw = np.random.default_rng(3)
    blank = {
        name: np.where(draw.random(found.size) < 0.2, np.nan, found)
        for name, found in DRIVE.values.items()
    }
    assert len(find(changed(DRIVE, **blank), has_duty=True)) == 1
    assert len(find(thinned(DRIVE, 4), has_duty=True)) == 1


def test_the_session_of_a_simulated_car() -> None:
    found = find(bench(), has_duty=True)
    assert [pull.gear for pull in found] == [3, 3, 4]
    assert [pull.lowest for pull in found] == [True, False, False]


def test_nothing_in_a_log_without_boost() -> None:
    assert find(without(DRIVE, "boost"), has_duty=True) == ()


flags = st.lists(st.tuples(st.booleans(), st.booleans()), min_size=1, max_size=60)


@given(flags)
def test_a_run_begins_at_its_first_wide_row_and_lasts_while_it_is_nearly_wide(
    rows: list[tuple[bool, bool]],
) -> None:
    stays = np.array([row[0] for row in rows])
    begins = np.array([row[0] and row[1] for row in rows])
    inside, wanted = False, []
    for stay, begin in zip(stays, begins, strict=True):
        inside = bool(stay) and (inside or bool(begin))
        wanted.append(inside)
    assert pulls._latched(begins, stays).tolist() == wanted


@given(
    st.lists(st.floats(0.001, 0.2), min_size=2, max_size=200),
    st.lists(st.floats(0.0, 8_000.0) | st.just(float("nan")), min_size=200, max_size=200),
)
def test_no_drop_of_rpm_is_overlooked(steps: list[float], turns: list[float]) -> None:
    """Against each row and all that came within 0.4 s before it."""
    time = np.cumsum(steps)
    rpm = held(np.array(turns[: len(steps)]))
    seen = pulls._may_drop(time, rpm)
    for row, now in enumerate(time):
        before = rpm[(time >= now - 0.4) & (time <= now)]
        if bool((rpm[row] < 0.92 * before).any()):
            assert seen[row]
