"""Phrases found in sentences: ``expert/evidence/mail/phrases.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.phrases import Phrases, steps_of
from expert.evidence.mail.sentences import sentences_of
from expert.evidence.mail.words import tokens_of


def found(phrase: str, text: str, complaint: bool = True, crossing: bool = True) -> list[str]:
    """The words of the text that the phrase takes."""
    phrases = Phrases([(phrase, "it")], lambda _: complaint, lambda _: crossing)
    quotes = []
    for sentence in sentences_of(text, tokens_of(text), phrases.vocabulary):
        for match in phrases.found(sentence):
            start = sentence.tokens[sentence.items[match.first].first].start
            end = sentence.tokens[sentence.items[match.last].last].end
            quotes.append(text[start:end])
    return quotes


@pytest.mark.parametrize(
    ("phrase", "text", "quotes"),
    [
        (
            "won't build/make boost",
            "it just DOESN'T really build any boost",
            ["DOESN'T really build any boost"],
        ),
        ("won't build boost", "it builds boost", []),
        ("stuck at N", "stuck at 0.7 bar all day", ["stuck at 0.7 bar"]),
        ("3 port", "a 3-port and a 4 port", ["3-port"]),
        ("P0299", "code p0299 is stored", ["p0299"]),
        (
            "hits N ... settles",
            "hits 20 psi, for a second, then settles",
            ["hits 20 psi, for a second, then settles"],
        ),
        ("no boost", "no, boost is fine", []),
        ("shoots to N", "shot to 9, shoots 22 psi", ["shot to 9", "shoots 22 psi"]),
        ("creeps", "creepin up", ["creepin"]),
        ("boost + late/slow", "so late it comes, the boost", []),
        ("boost + late/slow", "late comes the boost", ["late comes the boost"]),
    ],
)
def test_what_a_phrase_takes(phrase: str, text: str, quotes: list[str]) -> None:
    assert found(phrase, text) == quotes


def test_a_gap_has_an_end_and_may_be_held_to_its_clause() -> None:
    assert found("gate ... fitted", "gate a1 b1 was nicely fitted")
    assert not found("gate ... fitted", "gate " + "foo bar " * 5 + "fitted")
    assert found("gate ... fitted", "gate on, all fitted")
    assert not found("gate ... fitted", "gate on, all fitted", crossing=False)


def test_numbers_of_complaints_are_no_years_and_no_miles() -> None:
    assert not found("went to N", "it went 3 miles")
    assert found("went to N", "it went 3 miles", complaint=False)
    assert found("went to N", "it went to 3 bar")


def test_words_that_say_nothing_are_optional() -> None:
    assert len(steps_of("shoots to/past N")) == 2
    assert len(steps_of("the")) == 0


@given(st.text("abN./+ ", max_size=30), st.text("ab1 ,.\n", max_size=60))
def test_any_phrase_and_any_text(phrase: str, text: str) -> None:
    for quote in found(phrase, text):
        assert quote in text


def test_a_text_made_to_blow_up_is_followed_once_a_word() -> None:
    text = "a " * 4000 + "b"
    assert found("a ... a ... a ... a ... a ... a ... c", text) == []
