"""What was answered so far, and the next question that follows from it. Pure.

A script is a generator: it yields questions and is sent their values, so that a conversation reads
from top to bottom. It is played anew from the answers whenever the next question is wanted; hence
undo is a draft with one answer fewer, and resuming is nothing special.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass
from typing import Generic, NamedTuple, TypeAlias, TypeVar

from expert.workbench.add.hear import fits
from expert.workbench.add.question import Question, Value

Result = TypeVar("Result")
Script: TypeAlias = Generator[Question, Value, Result]


class Answer(NamedTuple):
    """The key of a question, and what was answered."""

    key: str
    value: Value


@dataclass(frozen=True, slots=True)
class Draft:
    """The answers in the order in which they were given."""

    answers: tuple[Answer, ...] = ()

    def answered(self, key: str, value: Value) -> Draft:
        """The draft with one answer more."""
        return Draft((*self.answers, Answer(key, value)))

    def back(self) -> Draft:
        """The draft with the last answer taken away; the same when there is none."""
        return Draft(self.answers[:-1])


@dataclass(frozen=True, slots=True)
class Standing(Generic[Result]):
    """How far a draft goes: the question that is open, or the result when none is.

    ``used`` of its answers still fit; with other knowledge it may be fewer than there are.
    """

    used: int
    question: Question | None
    result: Result | None


def standing(begin: Callable[[], Script[Result]], draft: Draft) -> Standing[Result]:
    """Play a script from the answers of a draft."""
    script = begin()
    used = 0
    try:
        question = next(script)
        for answer in draft.answers:
            if answer.key != question.key or not fits(question, answer.value):
                break
            used += 1
            question = script.send(answer.value)
    except StopIteration as end:
        return Standing(used, None, end.value)
    return Standing(used, question, None)
