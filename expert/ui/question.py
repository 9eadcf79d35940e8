"""A question as the dialogue holds it: what to show, what may be typed, what comes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from expert.case.events import Event
from expert.ui.protocol import Block, Choice, Choices, Heading, Paragraph
from expert.ui.reading import Expected, MisreadError, Typed


@dataclass(frozen=True, slots=True)
class TakeUp:
    """The owner will do this check after all; it is no event before it is answered."""

    check: str


Heard = Callable[[Typed], Event | TakeUp]


def nothing_to_set_aside() -> Event:
    """The answer to `skip` where the dialogue cannot go on without an answer."""
    raise MisreadError("This one cannot be skipped; nothing can be worked out without it.")


@dataclass(frozen=True, slots=True)
class Question:
    """What the dialogue shows and takes at one point.

    ``intro`` is shown once; ``ask`` and the answers again after every look at something else.
    ``check`` is the check that is asked, if it is one. ``hear`` makes an event of an answer or a
    reading, ``unknown`` and ``skip`` of these commands; each raises UsageError with a kind word
    where that is not possible. ``how`` and ``why`` are what these commands show; ``late`` is what
    takes longer to work out than the owner should wait for the rest.
    """

    prompt: str
    ask: str
    expected: Expected
    hear: Heard
    unknown: Callable[[], Event]
    skip: Callable[[], Event]
    how: Callable[[], list[Block]]
    why: Callable[[], list[Block]]
    check: str | None = None
    late: Callable[[], list[Block]] = list
    intro: tuple[Block, ...] = ()
    hints: tuple[str, ...] = ("or: unknown, skip, back, how, why, help",)

    def whole(self) -> list[Block]:
        """The intro, then the question."""
        under_heading = bool(self.intro) and isinstance(self.intro[-1], Heading)
        return [*self.intro, *self.short(apart=not under_heading)]

    def short(self, apart: bool = True) -> list[Block]:
        """The question itself, its answers, and what else may be typed."""
        blocks: list[Block] = [Paragraph(self.ask, strong=True, apart=apart)]
        if self.expected.answers:
            choices = (Choice(name, text) for name, text in self.expected.answers.items())
            blocks.append(Choices(tuple(choices)))
        return [*blocks, *(Paragraph(hint) for hint in self.hints)]
