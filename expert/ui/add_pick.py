"""A line typed at a question of ``knowledge add``: a command, a value, a shorter list. Pure.

In a list, what was typed is a number that is shown, an id, the beginning of one id, or a part of a
name; where the part is in several names, the list is narrowed to them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from expert.loading.nearest import nearest
from expert.model import PROBABILITY_WORDS
from expert.text import clean, shorten
from expert.ui.reading import MisreadError
from expert.ui.words import joined
from expert.workbench.add.hear import hear, stands_apart
from expert.workbench.add.question import Question, Value

# So many choices are shown without being asked for; the likeliest come first.
MOST_SHOWN: Final = 12

COMMANDS: Final[Mapping[str, str]] = {
    "back": "take the last answer back",
    "list": "show the whole list",
    "leave": "stop here; the draft is kept (save does the same)",
    "help": "what can be typed here",
}
_SYNONYMS: Final[Mapping[str, str]] = {
    "?": "help",
    "save": "leave",
    "quit": "leave",
    "exit": "leave",
    "undo": "back",
}
_NONE: Final = "none"
_SHOWN: Final = 40


@dataclass(frozen=True, slots=True)
class Word:
    """A command."""

    name: str


@dataclass(frozen=True, slots=True)
class Narrowed:
    """The choices whose names hold what was typed."""

    ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Told:
    """The value of the question."""

    value: Value


Typed = Word | Narrowed | Told


def first_shown(question: Question) -> tuple[str, ...]:
    """The choices to show at first."""
    return tuple(question.choices)[:MOST_SHOWN]


def completions(question: Question) -> tuple[str, ...]:
    """Everything that may be typed, for the tab key."""
    words = PROBABILITY_WORDS if question.form == "probability" else question.choices
    return (*words, *(name for name in COMMANDS if name not in words))


def understood(question: Question, shown: Sequence[str], line: str) -> Typed:
    """What was meant by a line. Raises UsageError with a kind word where nothing fits."""
    text = " ".join(clean(line).split())
    command = text.removeprefix(":").casefold()
    command = _SYNONYMS.get(command, command)
    if command in COMMANDS and (text.startswith(":") or command not in question.choices):
        return Word(command)
    if question.form in ("one", "several"):
        return _picked(question, shown, text)
    if question.choices and _numbered(text, shown):
        return Told((shown[int(text) - 1],))
    return Told(hear(question, text))


def _picked(question: Question, shown: Sequence[str], text: str) -> Typed:
    if not text:
        if question.default is None:
            raise MisreadError("Nothing was typed. Type a number or a word, or help.")
        return Told(question.default)
    none = question.form == "several" and not question.least and _NONE not in question.choices
    if none and text.casefold() == _NONE:
        return Told(())
    whole = _one(question, shown, text)
    if whole is None and question.form == "several":
        parts = _parts(question, shown, text)
        if len(parts) > 1:
            return Told(_several(question, shown, parts))
    if whole is not None:
        return Told((whole,))
    found = _holding(question, text)
    if len(found) == 1:
        return Told(found)
    if found:
        return Narrowed(found)
    raise MisreadError(_no_answer(question, text))


def _several(question: Question, shown: Sequence[str], parts: Sequence[str]) -> Value:
    chosen: list[str] = []
    for part in parts:
        one = _one(question, shown, part)
        found = (one,) if one is not None else _holding(question, part)
        if not found:
            raise MisreadError(_no_answer(question, part))
        if len(found) > 1:
            raise MisreadError(
                f"{_quoted(part)} could be {joined(found[:MOST_SHOWN], 'or')}. Type more of it."
            )
        chosen.append(found[0])
    value = tuple(dict.fromkeys(chosen))
    apart = stands_apart(question, value)
    if apart is not None:
        raise MisreadError(
            f"{_quoted(apart)} stands beside no other. Type it alone, or the others."
        )
    return value


def _parts(question: Question, shown: Sequence[str], text: str) -> list[str]:
    """What stands between commas, or between spaces where each piece is a choice."""
    parts = [part.strip() for part in re.split("[,;]", text) if part.strip()]
    spaced = text.split()
    if len(parts) == 1 and all(_one(question, shown, part) is not None for part in spaced):
        return spaced
    return parts


def _one(question: Question, shown: Sequence[str], part: str) -> str | None:
    """The choice of a number that is shown, an id, a text, or the beginning of one id."""
    if _numbered(part, shown):
        return shown[int(part.rstrip(".)")) - 1]
    word = part.casefold().replace(" ", "-")
    if word in question.choices:
        return word
    for name, meaning in question.choices.items():
        if part.casefold().rstrip(".") == meaning.casefold().rstrip("."):
            return name
    begun = [name for name in question.choices if name.startswith(word)]
    return begun[0] if len(begun) == 1 and not part.isdigit() else None


def _numbered(part: str, shown: Sequence[str]) -> bool:
    return re.fullmatch(r"\d{1,4}[.)]?", part, re.ASCII) is not None and (
        1 <= int(part.rstrip(".)")) <= len(shown)
    )


def _holding(question: Question, part: str) -> tuple[str, ...]:
    """The choices whose id or text holds what was typed."""
    if part.isdigit():
        return ()
    word, words = part.casefold().replace(" ", "-"), part.casefold()
    return tuple(
        name
        for name, meaning in question.choices.items()
        if word in name or words in meaning.casefold()
    )


def _no_answer(question: Question, part: str) -> str:
    close = nearest(part, [*question.choices, *COMMANDS])
    hint = f" Did you mean {close}?" if close else ""
    return f"{_quoted(part)} is in no name of the list.{hint} Type a number, a word, or help."


def _quoted(text: str) -> str:
    return f'"{shorten(text, _SHOWN)}"'
