"""Outside text made safe: ``expert/text.py``."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from expert.text import clean, name_words, shorten

ANY_TEXT = st.text(alphabet=st.characters(codec=None), max_size=200)
ESCAPES = st.lists(
    st.sampled_from(
        [
            "\x1b",
            "\x1b[31m",
            "\x1b[2J",
            "\x9b1;1H",
            "\x1b]0;title\x07",
            "\x1b]8;;http://x\x1b\\",
            "\x1bP",
            "\x1b\\",
            "[",
            "]",
            "0m",
            "\u202e",
            "\u200b",
            "\n",
            "a",
        ]
    ),
    max_size=30,
).map("".join)


@given(st.one_of(ANY_TEXT, ESCAPES))
@example("\x1b\x1b[0m[0m")
def test_every_character_left_is_printable(text: str) -> None:
    # Source: str.isprintable, which follows the categories of the Unicode character database.
    cleaned = clean(text)
    assert cleaned.isprintable()
    assert not {unicodedata.category(c) for c in cleaned} & {"Cc", "Cf", "Cs", "Co", "Cn"}


@given(st.one_of(ANY_TEXT, ESCAPES))
def test_cleaning_twice_changes_nothing(text: str) -> None:
    assert clean(clean(text)) == clean(text)


@given(st.text(alphabet=st.characters(categories=["L", "N", "P", "S"]), max_size=50))
def test_visible_letters_numbers_and_signs_stay(text: str) -> None:
    # The five letters and signs of these categories that are drawn as nothing are checked below.
    visible = [c for c in text if c not in "\u115f\u1160\u3164\uffa0"]
    assert clean(text) == "".join(visible)


@pytest.mark.parametrize(
    ("text", "cleaned"),
    [
        ("plain", "plain"),
        ("größer als 20 °C, ja", "größer als 20 °C, ja"),
        ("one\ntwo", "one two"),
        ("one\r\n\r\n\ttwo", "one two"),
        ("one\u2028two\u2029three\x85four", "one two three four"),
        ("non\u00a0breaking", "non breaking"),
        # Escape sequences of ECMA-48, 5th edition: CSI (8.3.16), OSC (8.3.89), DCS (8.3.27).
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x9b31mred", "red"),
        ("\x1b]0;owned\x07title", "title"),
        ("\x1b]8;;http://x\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x1bP1$r0m\x1b\\x", "x"),
        ("\x1b(0lqk", "lqk"),
        # Not finished: what follows must not be hidden with it.
        ("\x1b]0;the boost is 200 kPa", "]0;the boost is 200 kPa"),
        ("\x1b[", "["),
        ("nul\x00 bel\x07 del\x7f", "nul bel del"),
        # Bidirectional controls, UAX #9; zero width and fillers, Default_Ignorable_Code_Point.
        ("safe \u202elmth\u202c", "safe lmth"),
        ("\u2066a\u2069\u200fb\u061cc", "abc"),
        ("z\u200be\u200cr\u200do\u2060", "zero"),
        ("\ufeffbom", "bom"),
        ("\u115f\u3164\uffa0\u034f", ""),
        ("tag\U000e0041", "tag"),
        ("lone \ud800 surrogate", "lone \ufffd surrogate"),
        ("private \ue000", "private \ufffd"),
    ],
)
def test_examples(text: str, cleaned: str) -> None:
    assert clean(text) == cleaned


@given(ANY_TEXT, st.integers(0, 50))
def test_a_limit_holds(text: str, limit: int) -> None:
    assert len(clean(text, limit)) <= limit


@given(st.text(max_size=40), st.integers(1, 50))
def test_shorten_keeps_the_beginning(text: str, limit: int) -> None:
    short = shorten(text, limit)
    assert len(short) <= limit
    if len(text) <= limit:
        assert short == text
    else:
        assert short.endswith("…")
        assert text.startswith(short[:-1])


def test_ten_thousand_characters_are_cut() -> None:
    assert clean("x" * 10_000, 20) == "x" * 19 + "…"
    assert shorten("a long   word", 8) == "a long…"
    assert shorten("word", 0) == ""


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("BoostPressure.1", ("boost", "pressure", "1")),
        ("boost_pressure [1]", ("boost", "pressure", "1")),
        ("nEngine", ("n", "engine")),
        ("ECURpm", ("ecu", "rpm")),
        ("WGDC", ("wgdc",)),
        ("Régime-moteur", ("regime", "moteur")),
        ("λ2", ("lambda", "2")),
        ("Öl/Außen", ("ol", "aussen")),
        ("", ()),
    ],
)
def test_words_of_a_name(name: str, words: tuple[str, ...]) -> None:
    assert name_words(name) == words


@given(st.text())
def test_words_of_any_name_are_letters_or_digits(name: str) -> None:
    for word in name_words(name):
        assert word.isalpha() or word.isnumeric()
