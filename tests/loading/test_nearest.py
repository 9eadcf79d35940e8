"""Suggestions for misspelt names: ``expert/loading/nearest.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.loading.nearest import nearest

NAMES = ["title", "what", "seat-ring-missing", "signal-off", "loads-engine"]


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("tittle", "title"),
        ("titel", "title"),
        ("seat-ring-mising", "seat-ring-missing"),
        ("Seat_Ring_Missing", "seat-ring-missing"),
        ("loads_engine", "loads-engine"),
        ("loads engine", "loads-engine"),
        ("TITLE", "title"),
        ("banana", None),
        ("", None),
    ],
)
def test_what_was_meant(word: str, meant: str | None) -> None:
    assert nearest(word, NAMES) == meant


def test_very_long_words_are_like_nothing() -> None:
    assert nearest("title" * 100_000, NAMES) is None


@given(st.text(max_size=100), st.lists(st.text(max_size=20), max_size=10))
def test_only_known_names_are_suggested(word: str, names: list[str]) -> None:
    meant = nearest(word, names)
    assert meant is None or meant in names


def test_the_first_of_equal_names_wins() -> None:
    assert nearest("title", ["title", "title"]) == "title"
    assert nearest("x", []) is None
