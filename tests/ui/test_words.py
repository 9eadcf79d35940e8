"""Numbers and lists in words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.model import PROBABILITY_WORDS
from expert.ui.words import joined, minutes, percent, sentence, strength, sureness


def spaced(text: str) -> str:
    return text.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("probability", "text"),
    [(0.0, "under 1 %"), (0.009, "under 1 %"), (0.305, "30 %"), (0.99, "99 %"), (1.0, "over 99 %")],
)
def test_percent_is_never_certain(probability: float, text: str) -> None:
    assert spaced(percent(probability)) == text


def test_each_of_kents_words_names_its_own_value() -> None:
    # S. Kent, "Words of Estimative Probability" (1964); the values are those of the model.
    assert sureness(PROBABILITY_WORDS["almost-certain"]) == "almost certain"
    assert sureness(PROBABILITY_WORDS["probable"]) == "probable"
    assert sureness(PROBABILITY_WORDS["fifty-fifty"]) == "about even"
    assert sureness(PROBABILITY_WORDS["probably-not"]) == "probably not"
    assert sureness(PROBABILITY_WORDS["almost-certainly-not"]) == "almost certainly not"


@given(st.floats(0.0, 1.0))
def test_the_word_is_the_nearest_of_the_scale(probability: float) -> None:
    scale = {
        "almost certain": 0.93,
        "probable": 0.75,
        "about even": 0.50,
        "probably not": 0.30,
        "almost certainly not": 0.07,
    }
    distance = abs(scale[sureness(probability)] - probability)
    assert distance <= min(abs(value - probability) for value in scale.values()) + 1e-9


def test_strength_of_evidence() -> None:
    # Ten decibans are odds of ten to one, by definition (I. J. Good, Biometrika 1979).
    assert strength(12.0) == "strongly for"
    assert strength(-12.0) == "strongly against"
    assert strength(6.0) == "clearly for"
    assert strength(-2.0) == "a little against"
    assert strength(0.4) is None


def test_minutes() -> None:
    assert [spaced(minutes(amount)) for amount in (0.2, 5, 59.6, 75, 120)] == [
        "1 min",
        "5 min",
        "1 h",
        "1 h 15 min",
        "2 h",
    ]


def test_joined() -> None:
    assert joined([]) == ""
    assert joined(["a"]) == "a"
    assert joined(["a", "b"]) == "a and b"
    assert joined(["a", "b", "c"], "or") == "a, b or c"


def test_sentence_ends_once() -> None:
    assert [sentence(text) for text in ("It is", "It is.", "Is it?", " ")] == [
        "It is.",
        "It is.",
        "Is it?",
        "",
    ]
