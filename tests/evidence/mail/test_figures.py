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


def test_engine_speed_belongs_to_its_pressure() -> None:
    first, second = figures("18 psi at 4000, 11 by 6.5k")
    assert (first.rpm, second.rpm) == (4000.0, 6500.0)


@given(st.text("0123456789. psibarkPa,at", max_size=60))
def test_any_text_gives_possible_pressures(text: str) -> None:
    for one in figures(text):
        assert one.kpa is None or 0.0 < one.kpa <= 600.0
        assert text[one.start : one.end].strip()
