"""Of what a pressure is: ``expert/evidence/mail/roles.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.figures import figures_of
from expert.evidence.mail.roles import (
    around,
    is_spring_too,
    is_target_too,
    names_spring,
    role_of,
    was_so,
)
from expert.evidence.mail.words import NUMBER
from tests.evidence.mail.understanding import sentences

ROLES = [
    ("the can is 0.6 bar", "spring"),
    ("first movement at 8 psi of the pump against a rated 7 psi", "spring"),
    ("it never gets past its spring, which in my case is 8 psi", "spring"),
    ("all I see is base pressure, that means 0.7 bar", "spring"),
    ("gate spring: 60 kPa gauge", "spring"),
    ("flat as a board instead of climbing on up to 1.3 bar", "target"),
    ("nowhere near the 17 psi you promised", "target"),
    ("the table asks for 1.2 bar", "target"),
    ("remapped in spring last year to 20 psi", "target"),
    ("we set the car up for 16 psi", "target"),
    ("my map wants 1.4 bar", "target"),
    ("back then it did 15 psi all day", "past"),
    ("it was always making 1.1 bar", "past"),
    ("it has always made 0.8 bar", "boost"),
    ("it always makes 16 psi", "boost"),
    ("rod starts to move at 6 psi with the bike pump", "pump"),
    ("with the hand pump it does not open until 9 psi", "pump"),
    ("it overshoots 14 psi by 3", "target"),
    ("the 15 psi map", "target"),
    ("the map says 1.2 bar", "target"),
    ("base pressure is 0.6 bar", "spring"),
    ("the gate, 0.6 bar, is new", "spring"),
    ("request 1.2 actual 1.6 bar", "boost"),
    ("an actuator of 8 psi and 15 psi of boost", "boost"),
    ("it runs 1.2 bar like before", "boost"),
    ("that run to 1.2 bar worked before", "past"),
    ("it was tuned and goes to 22 psi", "boost"),
    ("the spring in the box is 0.6 bar", "spring"),
    ("with the red spring, 0.6 bar", "spring"),
    ("what the gate gives is 0.6 bar", "spring"),
    ("stuck at wastegate pressure, 0.6 bar", "boost"),
    ("your invoice says 18 psi", "target"),
    ("you told me 18 psi", "target"),
    ("1.3 bar is planned", "target"),
    ("after the test it makes 8 psi", "boost"),
    ("it built up and went to 18 psi", "boost"),
    ("my actuator is rated 9 psi", "spring"),
    ("the actuator is rated at 9 psi", "spring"),
    ("the gate is sprung at 0.7 bar", "spring"),
    ("my actuator is a 10 psi one", "spring"),
    ("1.2 bar is what I set", "target"),
    ("normal is 1.2 bar", "target"),
    ("it stays low where 1.2 bar should be", "target"),
    ("it makes 14 psi which should be fine", "boost"),
    ("the gate has a 0.9 bar in it", "spring"),
    ("the map is for 1.2 bar", "target"),
    ("the tuner put 1.2 bar in the map", "target"),
    ("a tune for eighteen psi", "target"),
    ("it makes fourteen psi", "boost"),
    ("the log reads 1.3 bar right when it cuts", "boost"),
    ("it hits 21 psi before settling", "boost"),
]


@pytest.mark.parametrize(("text", "role"), ROLES)
def test_role(text: str, role: str) -> None:
    (sentence,) = sentences(text)
    place = [k for k, one in enumerate(sentence.items) if one.stem == NUMBER and one.unit][-1]
    assert role_of(sentence, place) == role


@pytest.mark.parametrize(
    "text",
    [
        "I pumped 20 psi into the lower port and nothing stirred",
        "pressure tested the pipes to 20 psi",
        "a smoke test at 2 psi showed nothing",
        "the gate cracks open at 7 psi",
        "with the hand pump the flap does not move at 15 psi",
    ],
)
def test_a_pressure_that_was_put_on_is_no_figure(text: str) -> None:
    (sentence,) = sentences(text)
    (place,) = [k for k, one in enumerate(sentence.items) if one.unit == "psi"]
    assert role_of(sentence, place) is None
    assert figures_of(sentences(text)) == []


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ("it parks at 0.7 bar, exactly what the spring gives", True),
        ("it parks at 0.7 bar, is the value of spring", True),
        ("nothing but the spring, 0.7 bar", True),
        ("it does what the gate does on its own, 0.7 bar", True),
        ("it stays flat at 0.6 bar, which is what my actuator is rated", True),
        ("stuck at what the actuator is rated, 8 psi", True),
        ("limited to actuator pressure: 9 psi", True),
        ("stuck at wastegate pressure, 9 psi", False),
        ("it parks at 0.7 bar, which is more than the gate is rated", False),
        ("it parks at 0.7 bar, that is not the spring", False),
        ("it parks at 0.9 bar, that is above the spring", False),
        ("it parks at 0.7 bar, the sun shines", False),
    ],
)
def test_a_boost_that_is_the_spring(text: str, both: bool) -> None:
    (sentence,) = sentences(text)
    (place,) = [k for k, one in enumerate(sentence.items) if one.unit in {"bar", "psi"}]
    assert is_spring_too(sentence, place) == both
    roles = [one.role for one in figures_of([sentence])]
    assert roles == (["boost", "spring"] if both else ["boost"])


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ("it is back at 15 psi, which is what I asked for", True),
        ("it settles at 1.2 bar as ever, which is what the map wants", True),
        ("then a steady 20 psi, as commanded", True),
        ("the gauge says 1.2 bar which is spot on target, so it is not over", True),
        ("it comes back to 1.3 bar where the target is", True),
        ("it makes 1.2 bar, and that's the plan", True),
        ("it makes 1.2 bar, which is not what I asked for", False),
        ("it makes 1.2 bar, which is what I don't want", False),
        ("it makes 1.2 bar and the target is higher", False),
        ("it is at 1.2 bar, is that what you set?", False),
    ],
)
def test_a_boost_that_is_the_target(text: str, both: bool) -> None:
    (sentence,) = sentences(text)
    (place,) = [k for k, one in enumerate(sentence.items) if one.unit in {"bar", "psi"}]
    assert is_target_too(sentence, place) == both
    roles = [one.role for one in figures_of([sentence])]
    assert roles == (["boost", "target"] if both else ["boost"])


def test_the_next_sentence_may_name_the_spring() -> None:
    assert names_spring(sentences("That is just what my spring is for.")[0])
    assert not names_spring(sentences("That is more than the spring.")[0])
    assert not names_spring(sentences("The spring is new.")[0])
    assert not names_spring(sentences("Which spring do I need?")[0])
    found = figures_of(sentences("It holds 9 psi. That is just what the spring gives."))
    assert [(one.role, one.value) for one in found] == [("boost", 9.0), ("spring", 9.0)]


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("It ran at 16 psi for years. Now it stops at 8 psi.", "past"),
        ("In August it stood at 1.2 bar, now it falls off.", "past"),
        ("Last summer it made 18 psi. It only makes 9 psi.", "past"),
        ("It was 17 psi and is now 8 psi.", "past"),
        ("Before the swap it made 17 psi, after it 8 psi.", "past"),
        ("It did 17 psi last year, 8 psi this year.", "past"),
        ("On the rollers it made 1.6 bar, now they want 300 euros.", "boost"),
        ("Last night it hit 22 psi. Now I am worried.", "boost"),
        ("It ran 16 psi on the dyno. Now I want to go further.", "boost"),
    ],
)
def test_what_was_is_told_by_what_is_now(text: str, role: str) -> None:
    split = sentences(text)
    (place, *_) = [k for k, one in enumerate(split[0].items) if one.unit in {"psi", "bar"}]
    assert was_so(split, 0, place) == (role == "past")
    assert figures_of(split)[0].role == role


def test_words_around_stay_in_the_clause() -> None:
    (sentence,) = sentences("all is well, it makes 12 psi at the top, they say")
    (place,) = [k for k, one in enumerate(sentence.items) if one.unit == "psi"]
    item = sentence.items[place]
    found = around(sentence, item.first, item.last, 9, 9)
    assert found == [",", "it", "makes", "12", "psi", "at", "the", "top"]


_WORDS = st.sampled_from(
    (
        *("the spring", "can is", "7 psi", "that", "which", "instead of", "to", "1.2 bar"),
        *("tuned", "always", "made", "now", ",", ".", "in", "may", "only", "9"),
    )
)


@given(st.lists(_WORDS, max_size=30).map(" ".join))
def test_any_words_give_a_known_role(text: str) -> None:
    for one in figures_of(sentences(text)):
        assert one.role in {"boost", "spring", "target", "past", "pump", "limit"}
        assert text[one.start : one.end].strip()
