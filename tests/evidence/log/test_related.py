"""Boost against the spring and against the target that was told."""

from __future__ import annotations

import pytest

from expert.evidence.log.record import Measured, Span
from expert.evidence.log.related import NO_SPRING, NO_TARGET, off_by, related, unseen

SEEN = Span(1.0, 2.0)
MEASURED = {
    "steady_boost_kpa": Measured(75.0, 1.0, SEEN),
    "boost_over_spring_kpa": Measured(4.0, 3.0, SEEN),
    "falls_kpa": Measured(15.0, 3.0, SEEN),
    "creep_kpa": Measured(20.0, 4.0, Span(3.0, 4.0)),
    "boost_at_zero_duty_kpa": Measured(73.0, 0.0, SEEN),
    "boost_end_at_zero_duty_kpa": Measured(93.0, 5.0, Span(3.0, 4.0)),
    "target_kpa": Measured(90.0, 0.5, SEEN),
}


def test_differences_keep_their_uncertainty_and_their_seconds() -> None:
    found = related(MEASURED, 69.0, 100.0)
    fall = found.pop("falls_pct")
    assert (fall.value, fall.span) == (20.0, SEEN)
    # Relative errors of a quotient add as their squares do: a fifth, and one in 75.
    assert fall.uncertainty == pytest.approx(20.0 * (0.2**2 + (1 / 75) ** 2) ** 0.5)
    assert found == {
        "steady_over_spring_kpa": Measured(6.0, 1.0, SEEN),
        "boost_of_spring_pct": Measured(pytest.approx(100.0 * 73.0 / 69.0), 0.0, SEEN),
        "boost_end_over_spring_kpa": Measured(24.0, 5.0, Span(3.0, 4.0)),
        "steady_under_told_kpa": Measured(25.0, 1.0, SEEN),
        "target_below_told_kpa": Measured(10.0, 0.5, SEEN),
    }


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("steady_over_spring_kpa", NO_SPRING),
        ("boost_of_spring_pct", NO_SPRING),
        ("boost_end_over_spring_kpa", NO_SPRING),
        ("steady_under_told_kpa", NO_TARGET),
        ("target_below_told_kpa", NO_TARGET),
    ],
)
def test_what_was_not_told_is_missing_with_the_option(name: str, why: str) -> None:
    assert related(MEASURED, None, None)[name] == Measured(None, why=why)


def test_what_was_not_measured_keeps_its_reason() -> None:
    absent = Measured(None, why="no pull")
    found = related(dict.fromkeys(MEASURED, absent), 69.0, 100.0)
    assert set(found.values()) == {absent}
    tiny = {**MEASURED, "steady_boost_kpa": Measured(5.0, 1.0, SEEN)}
    assert related(tiny, 69.0, 100.0)["falls_pct"].value is None
    assert related({}, 69.0, 100.0)["steady_over_spring_kpa"].value is None


def test_what_the_sensor_is_off_by_is_a_doubt_of_every_level_and_of_no_difference() -> None:
    wrong = {**MEASURED, "key_on_off_kpa": Measured(-29.0, 0.3, SEEN)}
    found = off_by(wrong)
    assert found["boost_over_spring_kpa"] == Measured(4.0, 32.0, SEEN)
    assert found["creep_kpa"] == MEASURED["creep_kpa"]
    assert found["target_kpa"] == MEASURED["target_kpa"]
    right = {**MEASURED, "key_on_off_kpa": Measured(2.6, 0.3, SEEN)}
    assert off_by(right) == right
    assert off_by(MEASURED) == MEASURED


@pytest.mark.parametrize(
    ("vacuum", "blind"),
    [(Measured(17.0, 0.6), True), (Measured(19.9, 0.6), False), (Measured(60.0, 1.0), False),
     (Measured(None, why="no idle"), False)],
)  # fmt: skip
def test_a_sensor_that_does_not_see_the_manifold(vacuum: Measured, blind: bool) -> None:
    assert unseen({"idle_vacuum_kpa": vacuum}) is blind
    assert not unseen({})
