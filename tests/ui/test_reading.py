"""What a typed line means."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.ui.reading import (
    COMMANDS,
    LONGEST_ANSWER,
    Command,
    Expected,
    Given,
    MisreadError,
    Reading,
    how_to_answer,
    read,
)

RING = Expected(
    {"dark": "No light at all", "crescent": "A crescent", "full-ring": "A ring", "fuller": "More"}
)
FLAGS = Expected({"none": "None of these", "knock": "A knock", "smoke": "Smoke"}, True, "none")
BOOST = Expected({"below": "Less", "above": "More"}, reading=True)
NUMBER = Expected({}, reading=True)
# Answers that are called like commands.
CLASH = Expected({"back": "The back one", "how-far": "Far", "leave": "A leaf"})


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("1", "dark"),
        ("3", "full-ring"),
        (" 3. ", "full-ring"),
        ("3)", "full-ring"),
        ("full-ring", "full-ring"),
        ("Full ring", "full-ring"),
        ("full_ring", "full-ring"),
        ("A crescent", "crescent"),
        ("no light at all.", "dark"),
        ("cres", "crescent"),
        ("full-", "full-ring"),
        ("\tdark\r\n", "dark"),
    ],
)
def test_one_answer(line: str, answer: str) -> None:
    assert read(line, RING) == Given((answer,))


@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("knock", ("knock",)),
        ("2, 3", ("knock", "smoke")),
        ("2 3", ("knock", "smoke")),
        ("smoke,knock", ("smoke", "knock")),
        ("smoke; kno", ("smoke", "knock")),
        ("2,2,", ("knock",)),
        ("none", ("none",)),
    ],
)
def test_several_answers(line: str, answers: tuple[str, ...]) -> None:
    assert read(line, FLAGS) == Given(answers)


def test_none_of_these_stands_alone() -> None:
    with pytest.raises(MisreadError, match="cannot stand beside knock"):
        read("1, 2", FLAGS)


def test_several_where_one_fits() -> None:
    with pytest.raises(MisreadError, match="Only one answer"):
        read("dark, crescent", RING)


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("full", "full-ring or fuller"),
        ("drak", "Did you mean dark"),
        ("hlep", "Did you mean help"),
        ("elephant", "is no answer here"),
        ("5", "1 to 4"),
        ("0", "1 to 4"),
        ("4711", "1 to 4"),
        (",", "is no answer here"),
        (":nothing", "no command"),
        ("back to the shop", "is no answer here"),
    ],
)
def test_refused_with_a_hint(line: str, hint: str) -> None:
    with pytest.raises(MisreadError, match=hint):
        read(line, RING)


@pytest.mark.parametrize("name", list(COMMANDS))
def test_a_command_works_as_a_word_and_with_a_colon(name: str) -> None:
    for expected in (RING, FLAGS, BOOST, NUMBER):
        assert read(name, expected) == read(f":{name}", expected) == Command(name)
        assert read(name.upper(), expected) == Command(name)


@pytest.mark.parametrize(
    ("line", "name"), [("?", "help"), ("save", "leave"), ("quit", "leave"), ("undo", "back")]
)
def test_other_words_for_commands(line: str, name: str) -> None:
    assert read(line, RING) == Command(name)


def test_an_answer_that_is_called_like_a_command() -> None:
    assert read("back", CLASH) == Given(("back",))
    assert read("1", CLASH) == Given(("back",))
    assert read(":back", CLASH) == Command("back")
    assert read(":leave", CLASH) == Command("leave")
    # The beginning of an answer never hides a whole command.
    assert read("how", CLASH) == Command("how")
    assert {":back", ":leave", "back", "leave", "how"} <= set(CLASH.words())
    assert ":how" not in CLASH.words()


def test_readings() -> None:
    assert read("12 psi", BOOST) == Reading("12 psi")
    assert read("12", BOOST) == Reading("12")
    assert read("2", BOOST) == Given(("above",))
    assert read("-0.3bar", NUMBER) == Reading("-0.3bar")
    assert read(".8 bar", NUMBER) == Reading(".8 bar")
    assert read("spring 12 psi", RING) == Command("spring", "12 psi")
    with pytest.raises(MisreadError):
        read("12 psi", RING)


@pytest.mark.parametrize("line", ["", "   ", "\n", "\u200b"])
def test_nothing_typed(line: str) -> None:
    with pytest.raises(MisreadError, match="Nothing was typed"):
        read(line, RING)


@pytest.mark.parametrize("line", ["\x1b[A", "dark\x07", "\x00", "\x1b]0;title\x07dark", "\x9b31m"])
def test_control_characters(line: str) -> None:
    with pytest.raises(MisreadError, match="control characters"):
        read(line, RING)


def test_a_line_of_ten_thousand_characters() -> None:
    with pytest.raises(MisreadError, match="longer than any answer") as caught:
        read("x" * 10_000, RING)
    assert len(str(caught.value)) < 200
    assert read(" " * 10_000 + "dark", RING) == Given(("dark",))


@given(st.text(max_size=LONGEST_ANSWER * 2), st.sampled_from([RING, FLAGS, BOOST, NUMBER, CLASH]))
def test_any_line_is_understood_or_refused_in_one_printable_line(
    line: str, expected: Expected
) -> None:
    try:
        typed = read(line, expected)
    except MisreadError as error:
        assert str(error).isprintable()
        assert len(str(error)) < 400
        return
    if isinstance(typed, Given):
        assert typed.answers
        assert set(typed.answers) <= set(expected.answers)


def test_how_to_answer() -> None:
    assert how_to_answer(RING) == "Type a number from 1 to 4, a word from the list or help."
    assert "12 psi" in how_to_answer(NUMBER)
    assert how_to_answer(Expected({})) == "Type help."
