"""What boost to expect: ``expert/bench/expect.py``."""

from __future__ import annotations

import pytest

from expert.bench.air import standard_pressure_pa
from expert.bench.expect import (
    Place,
    Range,
    boost_at,
    duty_for,
    installations,
    is_pulsed,
    spring_of,
    warnings,
)
from tests.bench.test_rig import FOUR, PSI, THREE, ball, four_port, three_port, upper_driven

HERE = Place()


def test_boost_at_rest_is_the_spring_within_a_psi() -> None:
    # Common practice, no source: boost at 0 % duty is the spring, give or take 1 psi.
    low, high = boost_at(three_port(*THREE), 14 * PSI, 0.0, HERE)
    assert low / PSI == pytest.approx(13.0, abs=0.1)
    assert high is not None
    assert high / PSI == pytest.approx(15.0, abs=0.1)


def test_the_ideal_share_lies_in_the_range() -> None:
    # Ideal interrupt valve: gate pressure S (1 - duty), so boost is spring / (1 - duty).
    low, high = boost_at(three_port(*THREE), 14 * PSI, 0.4, HERE)
    assert high is not None
    assert low <= 14 * PSI / 0.6 <= high
    low, high = boost_at(four_port(*FOUR), 14 * PSI, 0.2, HERE)
    assert high is not None
    assert low <= 14 * PSI / 0.6 <= high


def test_nothing_limits_boost_at_full_duty() -> None:
    for rig in (three_port(*THREE), four_port(*FOUR), upper_driven()):
        assert boost_at(rig, 14 * PSI, 1.0, HERE).high is None
    # A four-port valve clamps the gate shut from half duty on.
    assert boost_at(four_port(*FOUR), 14 * PSI, 0.6, HERE).high is None


def test_duty_for_a_target_and_the_boost_of_that_duty_agree() -> None:
    # 14 psi of spring to 20 psi: 6 psi diverted; ideally 30 % of the time.
    rig = three_port(*THREE)
    duty = duty_for(rig, 14 * PSI, 20 * PSI, HERE)
    assert duty is not None
    assert duty.low == pytest.approx(0.3, abs=0.01)
    assert duty.high is not None
    for share in duty:
        assert share is not None
        low, high = boost_at(rig, 14 * PSI, share, HERE)
        assert low <= 20 * PSI
        assert high is None or high >= 20 * PSI


def test_a_target_at_or_below_the_spring_takes_no_duty() -> None:
    assert duty_for(three_port(*THREE), 14 * PSI, 14 * PSI, HERE) == Range(
        0.0, pytest.approx(0, abs=0.3)
    )
    below = duty_for(three_port(*THREE), 14 * PSI, 10 * PSI, HERE)
    assert below == Range(0.0, 0.0)


def test_a_target_out_of_reach_of_a_controller() -> None:
    assert not is_pulsed(ball())
    assert duty_for(ball(), 14 * PSI, 20 * PSI, HERE) is not None
    assert duty_for(ball(), 7 * PSI, 45 * PSI, HERE) is None


def test_gauge_boost_of_the_spring_is_the_same_in_the_mountains() -> None:
    # Common practice, no source: spring-only gauge boost hardly changes with altitude.
    high_up = Place(ambient_pa=standard_pressure_pa(2000.0))
    here, there = (boost_at(three_port(*THREE), 10 * PSI, 0.0, place) for place in (HERE, high_up))
    assert there.low == pytest.approx(here.low, rel=0.01)


def test_springs_side_by_side_add() -> None:
    assert spring_of([7 * PSI, 5 * PSI]) == pytest.approx(12 * PSI)


def test_installations_differ() -> None:
    rigs = list(installations(three_port(*THREE)))
    assert len({rig.solenoid_mm for rig, _ in rigs}) == len(rigs) > 1


@pytest.mark.parametrize(
    ("target_psi", "most_psi", "words"),
    [
        (None, None, []),
        (20, 25, []),
        (20, 15, ["too near the most", "above the most boost"]),
        # A stiffer spring would lead further from what is permitted.
        (40, 15, ["too near the most", "above the most boost"]),
        (10, None, ["below the spring"]),
        (29, None, ["more than about twice"]),
        (28, None, []),
        (None, 15.9, ["too near the most"]),
        (None, 16.1, []),
    ],
)
def test_what_is_unwise(target_psi: float | None, most_psi: float | None, words: list[str]) -> None:
    said = warnings(
        14 * PSI,
        None if target_psi is None else target_psi * PSI,
        None if most_psi is None else most_psi * PSI,
    )
    assert len(said) == len(words)
    assert all(word in text for word, text in zip(words, said, strict=True))
