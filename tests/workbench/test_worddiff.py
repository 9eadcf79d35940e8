"""Word diffs: ``expert/workbench/worddiff.py``."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.workbench.worddiff import word_diff


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("Boost comes late.", "Boost comes early.", "Boost comes [late. -> early.]"),
        ("one two", "one two three", "one two [-> three]"),
        ("one two three", "two three", "[one ->] two three"),
        ("a b c d e f g h x", "a b c d e f g h y", "… f g h [x -> y]"),
        ("x a b c d e f g h y", "z a b c d e f g h w", "[x -> z] a b c … f g h [y -> w]"),
        ("same", "same", "same"),
    ],
)
def test_a_change_with_what_is_around_it(old: str, new: str, expected: str) -> None:
    assert word_diff(old, new) == expected


def test_a_very_long_text_is_not_compared() -> None:
    assert word_diff("a b c d", "x " * 500) == "[a b c … -> x x x …]"


WORDS = st.lists(st.sampled_from(["a", "b", "c", "d"]), max_size=8)


@given(WORDS, WORDS)
def test_both_texts_can_be_read_from_it(old: list[str], new: list[str]) -> None:
    """Of short texts nothing is cut, so the diff holds both. Constructed."""
    text = word_diff(" ".join(old), " ".join(new))
    if "…" in text:
        return
    sides = [
        re.sub(r"\[(.*?)->(.*?)\]", lambda found, side=side: found[side], text).split()
        for side in (1, 2)
    ]
    assert sides == [old, new]
