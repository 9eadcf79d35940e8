"""Pressures, their unit, scale and role: ``expert/evidence/mail/figures.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.figures import Figure, figures_of
from tests.evidence.mail.understanding import sentences


def figures(text: str) -> list[Figure]:
    return figures_of(sentences(text))


@pytest.mark.parametrize(
    ("text", "role", "kpa"),
    [
        # NIST SP 811: 1 psi is 6.894757 kPa, 1 bar is 100 kPa.
        ("makes 12 psi", "boost", 82.7),
        ("only 0.3 bar", "boost", 30.0),
        ("on a 10 psi spring", "spring", 68.9),
        ("spring: 0.7 bar", "spring", 70.0),
        ("target is 1.2 bar", "target", 120.0),
        ("it used to make 18 psi", "past", 124.1),
        ("gate opens at 8 psi on the hand pump", "pump", 55.2),
        ("boost is 190 kPa absolute", "boost", 88.7),
        ("150 kPa of boost", "boost", 150.0),
        ("the throttle shuts at 1.5 bar", "limit", 150.0),
    ],
)
def test_role_and_gauge_pressure(text: str, role: str, kpa: float) -> None:
    (one,) = figures(text)
    assert one.role == role
    assert one.kpa == pytest.approx(kpa, abs=0.05)


@pytest.mark.parametrize(
    "text",
    [
        "reads 240kpa, gauge or absolute dunno",
        "boost stuck at 9",
        "reads 180 kPa",
        "it hits 20 then settles",
    ],
)
def test_what_is_unclear_stays_unclear(text: str) -> None:
    assert [one.kpa for one in figures(text)] == [None]


@pytest.mark.parametrize(
    "text", ["32 psi in the tyres", "fuel pressure 43 psi", "in 4th gear", "3 port", "oil is 4 bar"]
)
def test_what_is_no_boost_is_left_out(text: str) -> None:
    assert figures(text) == []


def test_a_bare_number_takes_the_unit_of_the_others() -> None:
    first, second = figures("shot to 22 psi on a 12 spring")
    assert (first.role, second.role) == ("boost", "spring")
    assert second.kpa == pytest.approx(82.7, abs=0.05)


def test_boost_of_the_spring_alone() -> None:
    (one,) = figures("20 psi with the solenoid not even plugged in")
    assert one.resting
    (other,) = figures("20 psi at 60 duty")
    assert not other.resting


def test_boost_of_the_spring_alone_in_the_next_sentence() -> None:
    (one,) = figures("Unplugged the solenoid and left it disconnected. It makes 14 psi.")
    assert one.resting
    first, second = figures("Disconnected it makes 7 psi. It makes 14 psi plugged in again.")
    assert (first.resting, second.resting) == (True, False)


def test_engine_speed_belongs_to_its_pressure() -> None:
    first, second = figures("18 psi at 4000, 11 by 6.5k")
    assert (first.rpm, second.rpm) == (4000.0, 6500.0)


@given(st.text("0123456789. psibarkPa,at", max_size=60))
def test_any_text_gives_possible_pressures(text: str) -> None:
    for one in figures(text):
        assert one.kpa is None or 0.0 < one.kpa <= 600.0
        assert text[one.start : one.end].strip()


def test_an_older_unit_and_numbers_in_words() -> None:
    # NIST SP 811: 1 kgf/cm2 is 98.0665 kPa.
    for text in ("it makes 0.8 kg/cm2", "it makes 0,8 kgf/cm\N{SUPERSCRIPT TWO} at best"):
        (one,) = figures(text)
        assert one.kpa == pytest.approx(78.5, abs=0.05)
    (words,) = figures("it makes fourteen psi")
    assert words.kpa == pytest.approx(96.5, abs=0.05)


def test_over_the_air_outside_is_gauge() -> None:
    (one,) = figures("it rises to 130 kPa (over atmosphere)")
    assert (one.role, one.scale, one.kpa) == ("boost", "gauge", 130.0)


def test_a_message_may_tell_the_scale_of_all_its_figures() -> None:
    (one,) = figures("All figures are gauge pressure. It peaks at 170 kPa.")
    assert one.kpa == 170.0
    (other,) = figures("All values absolute. It peaks at 170 kPa.")
    assert other.kpa == pytest.approx(68.7, abs=0.05)
    (asked,) = figures("Are all your figures gauge? It peaks at 170 kPa.")
    assert asked.kpa is None


def test_both_numbers_of_a_range_have_its_unit() -> None:
    first, second = figures("starts at 1.4 down to 0.9 bar")
    assert (first.kpa, second.kpa) == (140.0, 90.0)


def test_a_number_that_boost_reaches_needs_no_more_words() -> None:
    spring, boost = figures("The spring is 6 psi. It makes 12.")
    assert (spring.role, boost.role) == ("spring", "boost")
    assert boost.kpa == pytest.approx(82.7, abs=0.05)
    assert [one.role for one in figures("The spring is 6 psi. It makes 12 jobs.")] == ["spring"]


def test_a_difference_lends_its_unit() -> None:
    (spring,) = figures("0.2 bar over target on a 0.7 spring")
    assert (spring.role, spring.kpa) == ("spring", 70.0)


@pytest.mark.parametrize(
    ("text", "role", "kpa"),
    [
        ("Target 1.2, boost overshoots to 1.4 for a moment.", "boost", [140.0]),
        ("First it is at 0.8, and by 6400 it's 1.1. Gate spring 0.8.", "boost", [80.0, 110.0]),
        ("Boost by gear: 1.0 / 1.2 / 1.4.", "boost", [100.0, 120.0, 140.0]),
        ("I get no boost to speak of. 0.3 maybe.", "boost", [30.0]),
        ("Boost itself is fine? 1.2 as always.", "boost", [120.0]),
        ("Boost goes on up, 1.2, 1.3, 1.4, then I lift.", "boost", [120.0, 130.0, 140.0]),
        ("It runs 1 bar in second, in third it runs 1.1, in fourth 1.2.", "boost", [100, 110, 120]),
        ("The engine feels the same, boost the same (0.9).", "boost", [90.0]),
        ("boost is at 1.7 instead of 1.2", "boost", [170.0]),
        ("The ECU requests 1.0 and the log shows 1.5.", "boost", [150.0]),
        ("The boost needle dances 0.9 to 1.1.", "boost", [90.0, 110.0]),
        ("The needle swings 12 to 17 psi.", "boost", [82.7, 117.2]),
        ("Request is 14 psi. What I see: 18.", "boost", [124.1]),
        ("A 12 psi spring, it makes 1.2 bar and in fourth it shows 1.3.", "boost", [120.0, 130.0]),
        ("18 in fourth, 16 in third, all in psi.", "boost", [124.1, 110.3]),
        ("0.7 spring, 1.2 at the top end, boost creeps", "spring", [70.0]),
        ("Boost stays low, my actuator is rated 0.6", "spring", [60.0]),
        ("Boost reads 1.0, the can is a 0.5.", "spring", [50.0]),
    ],
)
def test_what_size_and_the_rest_of_the_message_make_of_bare_numbers(
    text: str, role: str, kpa: list[float]
) -> None:
    found = [one.kpa for one in figures(text) if one.role == role]
    assert found == pytest.approx(kpa, abs=0.05)


@pytest.mark.parametrize(
    "text",
    [
        "creeps from 0.9 to about 1.3, in all weathers",
        "boost only makes 2.5",
        "boost is at 1.4 and then at 14",
        "the boost gauge climbs to 17 by the limiter",
    ],
)
def test_bare_numbers_that_may_have_several_units_stay_unclear(text: str) -> None:
    found = figures(text)
    assert found
    assert all(one.kpa is None and one.scale == "unclear" for one in found)


@pytest.mark.parametrize(
    "text",
    [
        "is the boost gate too small for 2.5 litres?",
        "my 2.0 engine has no boost",
        "I drive a 1.4 petrol and boost is low",
        "lambda 0.85 under boost",
        "the boost swings with a period of 0.8 s",
        "the boost sensor gives 0.5 and 4.5 volts",
        "the restrictor is 1.2 mm and boost spikes",
        "turn the boost controller 0.5 turn",
        "Is 1.2 safe with this boost controller?",
        "boost overshoots by 0.3",
        "Boost swings, 3 psi each way.",
        "valve clearance 0.25, boost is down",
        "the boost manual 1.4.2 lacks pages",
        "boost was gone at 10:30",
    ],
)
def test_other_numbers_beside_boost_are_no_pressure(text: str) -> None:
    assert figures(text) == []


def test_the_spring_that_was_put_in_and_the_one_that_was_wanted() -> None:
    found = figures("I swapped the gate spring. It is the 5 psi now, and I wanted the 10.")
    assert [(one.role, one.value) for one in found] == [("spring", 5.0)]
    (boost,) = figures("I swapped the gate spring. It makes the 10 psi as before.")
    assert boost.role == "boost"


def test_a_target_that_is_reached_is_a_boost_as_well() -> None:
    found = figures("Target is 17 psi. It gets there at 3600, and by 6800 I'm looking at 12.")
    assert [(one.role, one.value, one.rpm) for one in found] == [
        ("target", 17.0, None),
        ("boost", 17.0, 3600.0),
        ("boost", 12.0, 6800.0),
    ]
    assert [one.role for one in figures("Target is 17 psi. It never gets there.")] == ["target"]
