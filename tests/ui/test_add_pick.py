"""Lines typed at the questions of ``knowledge add``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import UsageError
from expert.model import PROBABILITY_WORDS
from expert.ui.add_pick import (
    COMMANDS,
    MOST_SHOWN,
    Narrowed,
    Told,
    Typed,
    Word,
    completions,
    first_shown,
    understood,
)
from expert.workbench.add.question import Question

TOOLS = {
    "lamp": "bright lamp",
    "torch": "torch",
    "hand-pump": "hand pressure pump with a gauge",
    "vacuum-pump": "pump for vacuum",
    "gauge": "gauge for pressure",
}
SEVERAL = Question("k", "Which?", "Why.", "several", TOOLS, ())
ONE = Question("k", "Which?", "Why.", "one", TOOLS)
TEXT = Question("k", "What?", "Why.")


def typed(question: Question, line: str, shown: tuple[str, ...] | None = None) -> Typed:
    return understood(question, first_shown(question) if shown is None else shown, line)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("2", ("torch",)),
        ("2.", ("torch",)),
        ("lamp", ("lamp",)),
        ("Lamp", ("lamp",)),
        ("bright lamp", ("lamp",)),
        ("tor", ("torch",)),
        ("hand pump", ("hand-pump",)),
        ("brig", ("lamp",)),
    ],
)
def test_one_choice(line: str, value: tuple[str, ...]) -> None:
    assert typed(ONE, line) == Told(value)
    assert typed(SEVERAL, line) == Told(value)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("1, 3", ("lamp", "hand-pump")),
        ("1 3", ("lamp", "hand-pump")),
        ("torch;lamp", ("torch", "lamp")),
        ("lamp, lamp", ("lamp",)),
        ("tor, brig", ("torch", "lamp")),
        ("none", ()),
        ("", ()),
    ],
)
def test_several(line: str, value: tuple[str, ...]) -> None:
    assert typed(SEVERAL, line) == Told(value)


def test_typing_narrows_and_numbers_are_those_on_the_screen() -> None:
    narrowed = typed(ONE, "pump")
    assert narrowed == Narrowed(("hand-pump", "vacuum-pump"))
    assert typed(ONE, "2", narrowed.ids) == Told(("vacuum-pump",))
    assert typed(ONE, "pressure") == Narrowed(("hand-pump", "gauge"))


@pytest.mark.parametrize(
    ("question", "line", "said"),
    [
        (ONE, "", "Nothing was typed"),
        (ONE, "none", "is in no name"),
        (ONE, "9", "is in no name"),
        (ONE, "0", "is in no name"),
        (ONE, "troch", "Did you mean torch?"),
        (ONE, "lamp, torch", "is in no name"),
        (SEVERAL, "lamp, pump", "could be hand-pump or vacuum-pump"),
        (SEVERAL, "lamp, xyz", '"xyz" is in no name'),
        (SEVERAL, "²", "is in no name"),
    ],
)
def test_what_fits_nothing_gets_one_message(question: Question, line: str, said: str) -> None:
    with pytest.raises(UsageError) as caught:
        typed(question, line)
    assert said in str(caught.value)


@pytest.mark.parametrize("name", COMMANDS)
def test_commands_work_everywhere(name: str) -> None:
    for question in (ONE, SEVERAL, TEXT):
        assert typed(question, name) == Word(name)
        assert typed(question, f":{name}") == Word(name)
    assert typed(TEXT, "?") == Word("help")
    assert typed(TEXT, "quit") == Word("leave")


def test_a_choice_hides_a_command_and_a_colon_brings_it_back() -> None:
    question = Question("k", "Which?", "Why.", "one", {"list": "a list", "b": "c"})
    assert typed(question, "list") == Told(("list",))
    assert typed(question, ":list") == Word("list")


def test_none_may_be_a_choice() -> None:
    question = Question("k", "Which?", "Why.", "several", {"a": "b", "none": "nothing"}, ())
    assert typed(question, "none") == Told(("none",))


def test_a_choice_that_stands_alone() -> None:
    question = Question("k", "Which?", "Why.", "several", TOOLS, (), alone=("gauge",))
    assert typed(question, "gauge") == Told(("gauge",))
    with pytest.raises(UsageError, match="stands beside no other"):
        typed(question, "lamp, gauge")


def test_a_text_is_a_text() -> None:
    assert typed(TEXT, "3 bolts, and back again") == Told(("3 bolts, and back again",))


def test_an_id_that_is_there_can_be_picked_by_number() -> None:
    question = Question("k", "Which file?", "Why.", "id", {"gate": "x"}, ("new",))
    assert typed(question, "1") == Told(("gate",))
    assert typed(question, "other") == Told(("other",))
    assert typed(question, "") == Told(("new",))
    with pytest.raises(UsageError):
        typed(question, "a/b")


def test_completions() -> None:
    assert set(completions(ONE)) == {*TOOLS, *COMMANDS}
    number = Question("k", "How often?", "Why.", "probability")
    assert set(completions(number)) == {*PROBABILITY_WORDS, *COMMANDS}


def test_long_lists_begin_with_the_likeliest() -> None:
    many = Question("k", "?", "!", "one", {f"n{k}": "x" for k in range(40)})
    assert first_shown(many) == tuple(f"n{k}" for k in range(MOST_SHOWN))


@given(st.text(), st.sampled_from([ONE, SEVERAL, TEXT]))
def test_any_line_is_understood_or_refused(line: str, question: Question) -> None:
    try:
        found = typed(question, line)
    except UsageError:
        return
    if isinstance(found, Told) and question is not TEXT:
        assert set(found.value) <= set(TOOLS)
