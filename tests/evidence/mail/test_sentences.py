"""Sentences, clauses and units: ``expert/evidence/mail/sentences.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.sentences import MOST_SENTENCE_WORDS
from tests.evidence.mail.understanding import sentences


def test_marks_end_sentences_and_decimal_points_do_not() -> None:
    found = sentences("Stuck at 0.7 bar. Is it safe? Help!")
    assert [one.asked for one in found] == [False, True, False]
    assert found[0].items[-1].value == 0.7


def test_wrapped_lines_go_on_and_short_lines_end() -> None:
    wrapped = "since the gate went on at the weekend the car does not\nbuild boost"
    assert len(sentences(wrapped)) == 1
    assert len(sentences("Spring: 7 psi\nBoost: 15 psi")) == 2


def test_clauses_part_at_commas_and_but() -> None:
    (one,) = sentences("no smoke, boost is low but it clicks")
    clauses = {item.stem: item.clause for item in one.items}
    assert clauses["smok"] != clauses["boost"] != clauses["click"]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("18lb", 18.0, "psi"),
        ("240kpa", 240.0, "kPa"),
        ("0,8 bar", 0.8, "bar"),
        ("6k", 6.0, "thousand"),
        ("4th", 4.0, "ordinal"),
        ("30 %", 30.0, "percent"),
        ("12-psi", 12.0, "psi"),
        ("3-port", 3.0, "count"),
        ("7", 7.0, None),
    ],
)
def test_units_belong_to_their_numbers(text: str, value: float, unit: str | None) -> None:
    item = sentences(text)[0].items[0]
    assert (item.value, item.unit) == (value, unit)


@given(st.text(max_size=300))
def test_any_text_is_sentences_of_bounded_length(text: str) -> None:
    for one in sentences(text):
        assert 0 < len(one.tokens) <= MOST_SENTENCE_WORDS
        assert one.start == one.tokens[0].start
        assert len(one.clauses) == len(one.tokens)
        assert one.words() == [token.text for token in one.tokens if token.text != "\n"]
