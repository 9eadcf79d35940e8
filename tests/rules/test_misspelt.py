"""Rare words beside common ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.rules.misspelt import is_slip
from tests.rules.bench import lines

OFTEN = "the pressure of the valve at the outlet of the separate housing"
SIX = "".join(f"tool-{k}: {{title: '{OFTEN} {k}'}}\n" for k in "abcdef")


@pytest.mark.parametrize(
    ("rare", "common"),
    [
        ("pressrue", "pressure"),
        ("presure", "pressure"),
        ("hoising", "housing"),
        ("seperate", "separate"),
        ("pressurre", "pressure"),
    ],
)
def test_a_slip_is_shown_with_the_word_it_was_to_be(rare: str, common: str, tmp_path: Path) -> None:
    files = {"tools.yaml": f"{SIX}odd: {{title: the {rare}}}\n"}
    found = lines("misspelt", tmp_path, files)
    assert found == [f"tools.yaml:7:14: '{rare}' stands here alone; did you mean '{common}'?"]


def test_a_word_that_stands_twice_is_meant(tmp_path: Path) -> None:
    files = {"tools.yaml": f"{SIX}odd: {{title: the presure of the presure}}\n"}
    assert lines("misspelt", tmp_path, files) == []


@pytest.mark.parametrize(
    ("rare", "common"),
    [
        ("sealing", "scaling"),
        ("shakes", "shares"),
        ("sensors", "sensor's"),
        ("scalding", "scaling"),
        ("supple", "supply"),
        ("washer", "washers"),
        ("inverted", "invented"),
    ],
)
def test_sound_words_a_letter_apart_are_no_slips(rare: str, common: str) -> None:
    assert not is_slip(rare, common)


def test_neighbours_on_the_keyboard_are() -> None:
    assert is_slip("outsise", "outside")
    assert not is_slip("outsile", "outside")
