"""Words and their shared forms: ``expert/evidence/mail/words.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.mail.words import (
    MOST_WORDS,
    Vocabulary,
    _near,
    is_negation,
    stem,
    tokens_of,
    wordset,
)


def test_words_numbers_and_marks_with_their_places() -> None:
    text = "Won't go over .8bar, 12,5 psi!"
    found = [(token.text, text[token.start : token.end]) for token in tokens_of(text)]
    assert found == [
        ("wont", "Won't"),
        ("go", "go"),
        ("over", "over"),
        (".8", ".8"),
        ("bar", "bar"),
        (",", ","),
        ("12,5", "12,5"),
        ("psi", "psi"),
        ("!", "!"),
    ]
    assert [token.is_number for token in tokens_of(".8 bar")] == [True, False]


@given(st.text(max_size=200))
def test_every_token_stands_where_it_says(text: str) -> None:
    last = 0
    for token in tokens_of(text):
        assert last <= token.start < token.end <= len(text)
        assert token.text
        last = token.end
        if token.is_number:
            assert float(token.text.replace(",", ".")) >= 0.0


def test_a_very_long_text_is_cut() -> None:
    assert len(tokens_of("a " * (MOST_WORDS + 50))) == MOST_WORDS


@pytest.mark.parametrize(
    "words",
    [
        ("creep", "creeps", "creeping", "creeped"),
        ("hose", "hoses"),
        ("spike", "spikes", "spiking", "spiked"),
        ("hit", "hits", "hitting"),
        ("build", "built", "builds", "building"),
        ("wont", "doesnt", "never", "cant"),
    ],
)
def test_endings_share_a_stem(words: tuple[str, ...]) -> None:
    assert len({stem(word) for word in words}) == 1


def test_negations() -> None:
    assert is_negation("wont")
    assert not is_negation("boost")
    assert wordset("a b a") == {"a", "b"}


VOCABULARY = Vocabulary(
    stem(word) for word in ("boost", "wastegate", "solenoid", "creep", "spring")
)


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("bost", "boost"),
        ("boosst", "boost"),
        ("bosot", "boost"),
        ("wastgate", "wastegate"),
        ("wastegaet", "wastegate"),
        ("solanoid", "solenoid"),
        ("solonoide", "solenoid"),
        ("creepin", "creep"),
        ("sprng", "spring"),
    ],
)
def test_slips_of_the_finger_are_mended(word: str, meant: str) -> None:
    assert VOCABULARY.stem(word) == stem(meant)


@pytest.mark.parametrize("word", ["boots", "string", "boast", "best", "roost", "gate", "book"])
def test_words_that_mean_themselves_stay(word: str) -> None:
    assert VOCABULARY.stem(word) == stem(word)


def reference(one: str, other: str) -> int:
    """Optimal string alignment by its recursive definition (constructed)."""
    if not one or not other:
        return len(one) + len(other)
    best = min(
        reference(one[1:], other) + 1,
        reference(one, other[1:]) + 1,
        reference(one[1:], other[1:]) + (one[0] != other[0]),
    )
    if len(one) > 1 and len(other) > 1 and one[:2] == other[1::-1]:
        best = min(best, reference(one[2:], other[2:]) + 1)
    return best


short = st.text("abc", max_size=5)


@given(short, short, st.integers(0, 3))
def test_distance_is_that_of_its_definition(one: str, other: str, most: int) -> None:
    assert _near(one, other, most) == (reference(one, other) <= most)
