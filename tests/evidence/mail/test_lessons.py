"""What letters teach: ``expert/evidence/mail/lessons.py``."""

from __future__ import annotations

from itertools import pairwise
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.lessons import (
    Habits,
    by_main,
    lessons_of,
    main_of,
    sentences_in,
    with_lessons,
)
from expert.loading.letters import Letter, Topic


def letter(text: str, topic: Topic = "complaint", **means: str) -> Letter:
    """A letter; a label is named with ``__`` for its equals sign."""
    places = []
    for label, words in means.items():
        start = text.index(words)
        places.append((label.replace("__", "="), start, start + len(words)))
    return Letter(text, topic, tuple(places), "a.yaml")


LAGS = letter(
    "Good day. It lags, and since Monday it smells. It makes 1.2 bar. Thanks",
    lazy="It lags",
    flags__smell="since Monday it smells",
)


def test_sentences_end_at_marks_and_lines_and_not_in_numbers() -> None:
    text = "It makes 1.2 bar! Why?  I ask\nyou. x"
    assert [text[a:b] for a, b in sentences_in(text)] == [
        "It makes 1.2 bar!",
        "Why?",
        "I ask",
        "you.",
    ]


@given(st.text(alphabet="ab.!? \n", max_size=60))
def test_sentences_are_in_order_and_lose_only_marks_and_blanks(text: str) -> None:
    places = list(sentences_in(text))
    assert all(start < end for start, end in places)
    assert all(one[1] <= other[0] for one, other in pairwise(places))
    kept = {position for start, end in places for position in range(start, end)}
    lost = "".join(text[k] for k in range(len(text)) if k not in kept)
    assert max(map(len, "".join(c if c in "ab" else " " for c in lost).split()), default=0) <= 2


def test_quotes_and_the_rest_are_lessons() -> None:
    assert lessons_of(LAGS) == [
        ("lazy", "It lags"),
        ("flags=smell", "since Monday it smells"),
        ("none", "Good day."),
        ("none", "It makes 1.2 bar."),
        ("none", "Thanks"),
    ]


def test_the_rest_of_other_letters_is_of_their_topic() -> None:
    found = letter("It is odd. It smells.", "vague", flags__smell="It smells")
    assert ("vague", "It is odd.") in lessons_of(found)
    assert all(label != "vague" for label, words in lessons_of(found) if words == "It smells.")


def test_lessons_join_the_sentences_that_were_heard() -> None:
    found = with_lessons({"lazy": ["no push"]}, [LAGS])
    assert found["lazy"] == ["no push", "It lags"]
    assert with_lessons({"lazy": ("no push",)}, []) == {"lazy": ["no push"]}


def test_letters_by_their_main_complaint_or_topic() -> None:
    vague = letter("Odd.", "vague")
    assert (main_of(LAGS), main_of(vague)) == ("lazy", "vague")
    assert by_main([LAGS, vague]) == {"lazy": [LAGS.text], "vague": ["Odd."]}


def test_habits_are_shares_drawn_towards_what_is_usual() -> None:
    letters = [LAGS] * 80 + [letter("Odd.", "vague")] * 80
    own, usual = Habits.of(letters).likely("lazy", "flags=smell")
    # Half of all letters state it, and all of those that complain of it: (80 + 20 u) / (80 + 20).
    assert exp(usual) == pytest.approx((80 + 0.5) / (160 + 40))
    assert exp(own) == pytest.approx((80 + 20 * exp(usual)) / 100)
    other, _ = Habits.of(letters).likely("", "flags=smell")
    assert exp(other) < exp(usual) < exp(own)


def test_without_letters_no_answer_is_likelier_than_another() -> None:
    none = Habits.of([])
    assert none.likely("lazy", "flags=smell") == pytest.approx(none.likely("", "light=on"))
