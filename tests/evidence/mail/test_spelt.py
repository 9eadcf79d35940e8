"""Pressures in words: ``expert/evidence/mail/spelt.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.spelt import spelt_pressure
from expert.evidence.mail.words import tokens_of


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("half a bar", 0.5, "bar"),
        ("three quarters of a bar", 0.75, "bar"),
        ("a quarter of a bar", 0.25, "bar"),
        ("half a psi", 0.5, "psi"),
        ("one bar", 1.0, "bar"),
        ("one and a half bar", 1.5, "bar"),
        ("one point four bar", 1.4, "bar"),
        ("zero point eight bar", 0.8, "bar"),
        ("sixteen psi", 16.0, "psi"),
        ("twenty-two psi", 22.0, "psi"),
        ("twenty two psi", 22.0, "psi"),
        ("thirty psi", 30.0, "psi"),
        ("eight pounds of boost", 8.0, "psi"),
    ],
)
def test_pressures_in_words(text: str, value: float, unit: str) -> None:
    tokens = tokens_of(text)
    found = spelt_pressure(tokens, 0)
    assert found is not None
    assert found[:2] == (pytest.approx(value), unit)
    assert tokens[found[2]].text in {"bar", "psi", "pounds"}


@pytest.mark.parametrize(
    "text",
    [
        "eight pounds",
        "a quarter mile",
        "one point",
        "a bar",
        "half",
        "two hoses",
        "twenty",
        "point",
    ],
)
def test_other_words_are_no_pressure(text: str) -> None:
    assert spelt_pressure(tokens_of(text), 0) is None


_WORDS = st.sampled_from(
    ("a", "half", "quarter", "point", "twenty", "-", "two", "zero", "and", "of", "bar", "psi")
)


@given(st.lists(_WORDS, min_size=1, max_size=10))
def test_any_words_give_a_place_among_them(words: list[str]) -> None:
    tokens = tokens_of(" ".join(words))
    for position in range(len(tokens)):
        found = spelt_pressure(tokens, position)
        if found is not None:
            value, unit, last = found
            assert 0.0 < value < 40.0
            assert unit in {"bar", "psi"}
            assert position < last < len(tokens)
