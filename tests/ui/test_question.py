"""A question is shown with its answers and with what else may be typed."""

from __future__ import annotations

import pytest

from expert.case.events import Undone
from expert.errors import UsageError
from expert.ui.protocol import Fact, Heading
from expert.ui.question import Question, nothing_to_set_aside
from expert.ui.reading import Expected
from tests.ui.script import shown


def question(*intro: Heading | Fact) -> Question:
    return Question(
        prompt="Your answer",
        ask="What light passes?",
        expected=Expected({"dark": "No light"}),
        hear=lambda typed: Undone(),
        unknown=Undone,
        skip=nothing_to_set_aside,
        how=list,
        why=list,
        intro=intro,
    )


def test_the_question_stands_apart_but_not_from_its_heading() -> None:
    assert shown(question().short()).splitlines() == [
        "",
        "What light passes?",
        " 1  dark: No light",
        "or: unknown, skip, back, how, why, help",
    ]
    under = shown(question(Heading("Next")).whole()).splitlines()
    assert under[:3] == ["", "Next", "What light passes?"]
    after = shown(question(Fact("Takes", "5 min")).whole()).splitlines()
    assert after[:3] == ["Takes: 5 min", "", "What light passes?"]


def test_what_cannot_be_set_aside() -> None:
    with pytest.raises(UsageError, match="cannot be skipped"):
        nothing_to_set_aside()
