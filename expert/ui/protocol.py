"""What the dialogue says, as blocks of plain data, and what a window must be able to do.

The texts of blocks may hold anything that a file or a user supplied; a window shows them as text
and nothing else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from expert.model import Danger, Signal


@dataclass(frozen=True, slots=True)
class Heading:
    """Where a new part of the dialogue begins."""

    text: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text; ``strong`` for what must not be missed, ``apart`` after an empty line."""

    text: str
    strong: bool = False
    apart: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """A short label and what it stands for."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Steps:
    """Things to do or to know, one after the other, under a title of its own or none."""

    title: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """An answer: the word to type for it, and what it means."""

    id: str
    text: str


@dataclass(frozen=True, slots=True)
class Choices:
    """The answers to a question, numbered from 1."""

    items: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """A share from 0 to 1, and what it was before, if that is known."""

    label: str
    now: float
    before: float | None = None


@dataclass(frozen=True, slots=True)
class Bars:
    """Shares drawn as bars."""

    title: str
    items: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Warned:
    """A caution: its signal word and its text."""

    signal: Signal
    text: str


@dataclass(frozen=True, slots=True)
class Cautions:
    """What can hurt people or engines in the work that follows."""

    items: tuple[Warned, ...]


@dataclass(frozen=True, slots=True)
class Banner:
    """The drive verdict when it is not ok: what it means, and why."""

    danger: Danger
    text: str
    because: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of short texts under headers; every row is as long as the headers."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Verbatim:
    """A path or a command on a line of its own, never wrapped, so that it can be copied."""

    text: str


Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """A curve over a horizontal axis, with a target, a level and a strip of per cent, if any.

    ``marks`` are stretches of the axis that show something, each with a letter.
    """

    title: str
    unit: str
    x_name: str
    curve_name: str
    curve: Points
    target_name: str = ""
    target: Points = ()
    level_name: str = ""
    level: float | None = None
    strip_name: str = ""
    strip: Points = ()
    marks: tuple[tuple[str, float, float], ...] = ()


Block = (
    Heading
    | Paragraph
    | Fact
    | Steps
    | Choices
    | Bars
    | Cautions
    | Banner
    | Table
    | Plot
    | Verbatim
)


class Leave(Exception):  # noqa: N818 - the owner's wish, no error
    """The owner closed the input: save and leave."""


class Cancelled(Exception):  # noqa: N818 - the owner's wish, no error
    """The owner dropped the line that was being typed."""


class Interrupted(Exception):  # noqa: N818 - the owner's wish, no error
    """The owner dropped two lines in a row: save and leave as interrupted."""


class Talker(Protocol):
    """A window: it shows blocks and reads lines."""

    def tell(self, block: Block) -> None:
        """Show one block."""

    def ask(self, prompt: str, completions: Sequence[str] = ()) -> str:
        """Read one line, offering words to complete it with.

        Raises Leave when the input has ended, Cancelled when the line was dropped, Interrupted
        when two were dropped in a row.
        """
