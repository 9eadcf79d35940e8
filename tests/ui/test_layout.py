"""Blocks fit any window, wide or narrow, and say in words what colours say."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from wcwidth import wcswidth

from expert.ui.layout import NARROWEST, TEXT_MEASURE, Look, cells, lines_of
from expert.ui.protocol import (
    Banner,
    Bar,
    Bars,
    Block,
    Cautions,
    Choice,
    Choices,
    Fact,
    Heading,
    Paragraph,
    Plot,
    Steps,
    Table,
    Verbatim,
    Warned,
)
from tests.ui.test_protocol import EXAMPLES

WIDTHS = (1, 12, 20, 60, 80, 140)


def texts(block: Block, look: Look) -> list[str]:
    return ["".join(span.text for span in line) for line in lines_of(block, look)]


words = st.text(
    st.characters(categories=["L", "N", "P", "Zs", "S"], max_codepoint=0x2FFF), max_size=60
)
blocks = st.one_of(
    st.builds(Heading, words),
    st.builds(Paragraph, words, st.booleans(), st.booleans()),
    st.builds(Fact, words, words),
    st.builds(Steps, words, st.lists(words, max_size=3).map(tuple)),
    st.builds(
        Choices, st.lists(st.builds(Choice, words, words), min_size=1, max_size=12).map(tuple)
    ),
    st.builds(
        Bars,
        words,
        st.lists(
            st.builds(Bar, words, st.floats(0, 1), st.none() | st.floats(0, 1)), max_size=5
        ).map(tuple),
    ),
    st.builds(
        Cautions,
        st.lists(st.builds(Warned, st.just("DANGER"), words), max_size=2).map(tuple),
    ),
    st.builds(Banner, st.sampled_from(["stop", "caution"]), words, st.tuples(words)),
    st.builds(
        Table,
        words,
        st.just(("What", "Answer", "Why")),
        st.lists(st.tuples(words, words, words), max_size=4).map(tuple),
    ),
)


@given(blocks, st.integers(NARROWEST, 150), st.booleans(), st.booleans())
def test_no_line_is_wider_than_the_window(
    block: Block, width: int, unicode: bool, styled: bool
) -> None:
    for text in texts(block, Look(width, unicode, styled)):
        assert cells(text) <= width


@given(st.text(max_size=40).filter(lambda text: text.isprintable()))
def test_cells_agree_with_a_general_library(text: str) -> None:
    # wcwidth, the table that terminals' widths are usually taken from. It counts some rare
    # characters by newer rules (emoji sequences, Hangul jamo, marks that take room), left out here.
    plain = [
        letter
        for letter in text
        if unicodedata.category(letter)[0] in "LNPZ"
        and unicodedata.east_asian_width(letter) != "A"
        and not 0x1100 <= ord(letter) < 0x1200
        and not 0xD7B0 <= ord(letter) < 0xD800
    ]
    expected = wcswidth("".join(plain))
    if expected >= 0:
        assert cells("".join(plain)) == expected


# Bars and plots are longer and tables are turned in a wide window, so they have tests of their own.
RUNNING = [block for block in EXAMPLES if not isinstance(block, (Bars, Plot, Table))]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("block", RUNNING, ids=lambda block: type(block).__name__)
def test_nothing_that_was_said_gets_lost(block: Block, width: int) -> None:
    wide = "".join("".join(texts(block, Look(400))).split())
    narrow = "".join("".join(texts(block, Look(width))).split())
    assert narrow == wide


def test_wide_windows_keep_a_readable_measure() -> None:
    text = "word " * 100
    assert max(map(len, texts(Paragraph(text), Look(140)))) <= TEXT_MEASURE


def test_wrapping_hangs_under_the_text_of_an_answer() -> None:
    block = Choices((Choice("full-ring", "A full ring of light"), Choice("dark", "No light")))
    assert texts(block, Look(20)) == [
        " 1  full-ring: A",
        "    full ring of",
        "    light",
        " 2  dark: No light",
    ]


def test_long_words_break_behind_a_hyphen_or_anywhere() -> None:
    assert texts(Paragraph("source-vent-crossed"), Look(16)) == ["source-vent-", "crossed"]
    assert texts(Paragraph("a" * 30), Look(16)) == ["a" * 16, "a" * 14]


def test_hard_spaces_hold_a_number_and_its_unit_together() -> None:
    assert texts(Paragraph("about 12\N{NO-BREAK SPACE}psi"), Look(12)) == ["about 12 psi"]
    assert texts(Paragraph("abouts 12\N{NO-BREAK SPACE}psi"), Look(12)) == ["abouts", "12 psi"]


def test_plain_prose_keeps_its_numbers_and_units_together_too() -> None:
    assert texts(Paragraph("start at 35 kPa (5 psi)"), Look(14)) == ["start at", "35 kPa (5 psi)"]
    assert texts(Paragraph("5 Apples"), Look(12)) == ["5 Apples"]


def test_signal_words_are_words() -> None:
    block = Cautions((Warned("DANGER", "It falls."),))
    assert texts(block, Look(styled=False)) == ["DANGER: It falls."]
    assert texts(block, Look(styled=True)) == [" DANGER  It falls."]
    assert lines_of(block, Look(styled=True))[0][0].role == "DANGER"


def test_the_verdict_is_a_word() -> None:
    assert texts(Banner("stop", "Do not drive."), Look()) == ["", "STOP: Do not drive."]
    assert texts(Banner("caution", "Gently."), Look()) == ["", "CAUTION: Gently."]


def test_bars_show_what_stays_what_is_gained_and_what_is_lost() -> None:
    block = Bars("", (Bar("Up", 0.5, 0.25), Bar("Down", 0.25, 0.5), Bar("Same", 0.5)))
    lines = texts(block, Look(80, unicode=False))
    assert lines[0].split()[-1] == "#" * 10 + "+" * 10
    assert lines[1].split()[-1] == "#" * 10 + "-" * 10
    assert lines[2].split()[-1] == "#" * 20
    assert "25 % ->  50 %" in lines[0]
    assert lines[3] == "  # stays + gained - lost"
    assert all(line.isascii() for line in lines)


@given(st.floats(0, 1), st.floats(0, 1))
def test_the_length_of_a_bar_is_its_share(now: float, before: float) -> None:
    bar = texts(Bars("", (Bar("X", now, before),)), Look(80, unicode=False))[0].split("%")[-1]
    assert abs(bar.count("#") + bar.count("+") - 40 * now) <= 0.5 + 1e-9
    assert abs(bar.count("#") + bar.count("-") - 40 * before) <= 0.5 + 1e-9


def test_a_narrow_window_gives_a_bar_its_own_line() -> None:
    block = Bars("", (Bar("Ring left out of the gate", 1.0),))
    assert texts(block, Look(30, unicode=False)) == [
        "  Ring left out of the gate",
        "    100 %  " + "#" * 19,
    ]


def test_a_table_stacks_where_its_columns_do_not_fit() -> None:
    block = Table("", ("Hose", "From"), (("source-hose", "turbo, nipple"),))
    assert texts(block, Look(60)) == ["  Hose         From", "  source-hose  turbo, nipple"]
    assert texts(block, Look(24)) == ["  source-hose", "    From: turbo, nipple"]


def test_a_table_wraps_its_widest_column_first() -> None:
    block = Table("", ("What", "Answer"), (("lamp", "word " * 20),))
    lines = texts(block, Look(40))
    assert max(map(len, lines)) <= 40
    assert lines[1].startswith("  lamp  word word")
    assert all(line.startswith("        word") for line in lines[2:])


def test_commands_and_paths_are_never_wrapped() -> None:
    assert texts(Verbatim("/a/long path/" + "x" * 80), Look(20)) == ["  /a/long path/" + "x" * 80]


@pytest.mark.parametrize("block", EXAMPLES, ids=lambda block: type(block).__name__)
def test_no_colour_and_no_drawing_is_needed_to_read_it(block: Block) -> None:
    for text in texts(block, Look(80, unicode=False, styled=False)):
        assert text.isascii()


def test_what_a_user_supplied_is_text_and_nothing_else() -> None:
    evil = "a\x1b[31mb\x1b]0;title\x07c\u202ed\te\nf"
    for block in (Paragraph(evil), Verbatim(evil), Fact(evil, evil), Steps(evil, (evil,))):
        for text in texts(block, Look()):
            assert text.isprintable()
            assert "abcd e f" in text.replace("  ", " ")
