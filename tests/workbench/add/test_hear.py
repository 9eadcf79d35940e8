"""What was typed becomes a value, or one kind message."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import UsageError
from expert.loading.forms import probability
from expert.model import PROBABILITY_WORDS
from expert.workbench.add.hear import LONGEST_TEXT, fits, hear, short_number
from expert.workbench.add.question import Form, Question


def asked(form: Form, **more: object) -> Question:
    return Question("k", "Ask?", "Why.", form, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("form", "text", "value"),
    [
        ("text", "  two\twords ", "two words"),
        ("id", "rod-off", "rod-off"),
        ("probability", "probable", "probable"),
        ("probability", "Almost certain", "almost-certain"),
        ("probability", "fif", "fifty-fifty"),
        ("probability", "75 %", ".75"),
        ("probability", "0.050", ".05"),
        ("probability", "1", "1"),
        ("probability", "0", "0"),
        ("minutes", "20 min", "20"),
        ("minutes", "2.5 minutes", "2.5"),
        ("whole", "6", "6"),
        ("pressure", "7 psi", "48"),
        ("pressure", "48", "48"),
    ],
)
def test_what_is_understood(form: Form, text: str, value: str) -> None:
    assert hear(asked(form), text) == (value,)


@pytest.mark.parametrize(
    ("form", "text", "said"),
    [
        ("text", "", "Nothing was typed"),
        ("text", "\x00\u200b", "Nothing was typed"),
        ("text", "x" * (LONGEST_TEXT + 1), "longer than an entry"),
        ("id", "../etc/passwd", "cannot be a name"),
        ("id", "/etc", "cannot be a name"),
        ("id", "a\\b", "cannot be a name"),
        ("id", "C:x", "cannot be a name"),
        ("id", "..", "cannot be a name"),
        ("id", "Two Words", "cannot be a name"),
        ("id", "unknown", "cannot be a name"),
        ("id", "nul", "nul is no file but a device on Windows"),
        ("id", "com1", "is no file but a device"),
        ("id", "taken", "exists already. Type another id, such as taken-2"),
        ("probability", "2", "no probability"),
        ("probability", "-1", "no probability"),
        ("probability", "probabel", "Did you mean probable?"),
        ("probability", "almost", "no probability"),
        ("probability", "x %", "no probability"),
        ("minutes", "0", "no number of minutes"),
        ("minutes", "soon", "no number of minutes"),
        ("whole", "1.5", "no whole number"),
        ("pressure", "7000 psi", "No spring has that pressure"),
        ("pressure", "seven", "no reading"),
        ("one", "a", "Pick from the list"),
    ],
)
def test_what_is_not_gets_one_message(form: Form, text: str, said: str) -> None:
    with pytest.raises(UsageError, match=said.replace("?", r"\?")):
        hear(asked(form, taken={"taken"}), text)


def test_probabilities_leave_room_for_each_other() -> None:
    assert hear(asked("probability", most=1 - 0.93), ".07") == (".07",)
    with pytest.raises(UsageError, match=r"at most \.07 is left"):
        hear(asked("probability", most=1 - 0.93), ".08")


def test_an_id_that_is_offered_needs_no_form() -> None:
    question = asked("id", choices={"my_file": "a file of somebody"})
    assert hear(question, "my_file") == ("my_file",)
    assert fits(question, ("my_file",))
    assert not fits(question, ("other_file",))


def test_an_empty_line_is_the_default() -> None:
    assert hear(asked("text", default=("common practice",)), " ") == ("common practice",)
    assert hear(asked("whole", default=()), "") == ()


@pytest.mark.parametrize("word", PROBABILITY_WORDS)
def test_every_word_of_the_files_is_understood(word: str) -> None:
    assert hear(asked("probability"), word) == (word,)


@given(st.floats(0, 1))
def test_numbers_are_written_as_the_files_read_them(value: float) -> None:
    assert probability(short_number(value)) == pytest.approx(value, abs=1e-6)


@given(st.text(), st.sampled_from(["text", "id", "probability", "minutes", "whole", "pressure"]))
def test_whatever_is_typed_is_heard_or_refused(text: str, form: Form) -> None:
    question = asked(form)
    try:
        value = hear(question, text)
    except UsageError:
        return
    # What was heard can be heard again: a draft that is taken up keeps it.
    assert fits(question, value)


def test_kept_values_fit_only_what_is_asked() -> None:
    lamp = asked("several", choices={"lamp": "a lamp", "torch": "a torch"})
    assert fits(lamp, ("lamp", "torch"))
    assert fits(lamp, ())
    assert not fits(lamp, ("gone",))
    assert not fits(asked("several", choices={"lamp": ""}, least=1), ())
    assert not fits(asked("one", choices={"lamp": "", "torch": ""}), ("lamp", "torch"))
    assert not fits(asked("text"), ())
    assert not fits(asked("id", taken={"a"}), ("a",))
