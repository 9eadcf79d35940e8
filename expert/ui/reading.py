"""A typed line becomes an answer, a reading or a command. Pure.

The order in which a line is understood: a command with a colon in front, the number of an answer,
the word of an answer, a command, the beginning of an answer's word. So no answer can hide a
command for good, and no command an answer that is shown.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from expert.errors import UsageError
from expert.loading.nearest import nearest
from expert.text import clean, shorten
from expert.ui.words import joined
from expert.units import looks_like_reading

LONGEST_ANSWER: Final = 200
_SHOWN: Final = 40

COMMANDS: Final[Mapping[str, str]] = {
    "unknown": "you cannot tell; nothing is concluded from that",
    "skip": "not this check now; go on with the next best",
    "back": "take the last answer back",
    "how": "how to do it, step by step",
    "why": "what the answer would tell",
    "what-if": "what an answer would change, without giving it: what-if 2",
    "checks": "other checks that can be done now, the best first",
    "take": "do another check, or one again: take rod-clip",
    "no-tool": "you lack a tool it takes: no-tool lamp",
    "ranking": "all likely causes, with bars",
    "status": "what is known so far",
    "hoses": "the table of hoses, open ports and caps",
    "spring": "tell the pressure of the gate's spring",
    "target": "tell the boost that the car should make",
    "log": "read a log of the car: log pull.csv",
    "note": "keep a remark with the case: note only on cold mornings",
    "leave": "stop here; the case is saved (save does the same)",
    "help": "this list",
}
_SYNONYMS: Final[Mapping[str, str]] = {
    "?": "help",
    "save": "leave",
    "quit": "leave",
    "exit": "leave",
    "undo": "back",
}
_TAKES_MORE: Final = frozenset({"spring", "target", "what-if", "take", "no-tool", "log", "note"})


class MisreadError(UsageError):
    """A line that is no answer; the text says why and what to type instead."""


@dataclass(frozen=True, slots=True)
class Given:
    """One answer or several, by id."""

    answers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reading:
    """Something that begins like a number and is no answer's number."""

    text: str


@dataclass(frozen=True, slots=True)
class Command:
    """A command, and what was typed after it."""

    name: str
    rest: str = ""


Typed = Given | Reading | Command


@dataclass(frozen=True, slots=True)
class Expected:
    """What a question takes: answers by id with their text, several at once or one, a reading.

    ``alone`` is an answer that means "none of these" and stands beside no other.
    """

    answers: Mapping[str, str]
    several: bool = False
    alone: str | None = None
    reading: bool = False

    def words(self) -> tuple[str, ...]:
        """Everything that may be typed, for completion."""
        hidden = [f":{name}" for name in COMMANDS if name in self.answers]
        return (*self.answers, *(name for name in COMMANDS if name not in self.answers), *hidden)


def read(line: str, expected: Expected) -> Typed:
    """What the owner meant. Raises MisreadError."""
    text = _checked(line)
    if text.startswith(":"):
        command = _command(text[1:].strip())
        if command is None:
            raise MisreadError(f"There is no command {_quoted(text)}. Type help to see them all.")
        return command
    whole = _exactly(text, expected)
    if whole is not None:
        return Given((whole,))
    command = _command(text)
    if command is not None:
        return command
    if expected.reading and looks_like_reading(text):
        return Reading(text)
    return _several(text, expected)


def _checked(line: str) -> str:
    """The line as clean text. Raises MisreadError for one that nobody types on purpose."""
    if any(unicodedata.category(letter) == "Cc" and letter not in "\t\r\n" for letter in line):
        raise MisreadError(
            "That line holds control characters, perhaps from a key such as an arrow. "
            "Type a number or a word."
        )
    text = " ".join(clean(line).split())
    if len(text) > LONGEST_ANSWER:
        raise MisreadError(
            f"That line is longer than any answer ({LONGEST_ANSWER} characters at most). "
            "Type a number or a word."
        )
    if not text:
        raise MisreadError("Nothing was typed. Type a number or a word, or help.")
    return text


def _command(text: str) -> Command | None:
    name, _, rest = text.partition(" ")
    name = name.casefold()
    name = _SYNONYMS.get(name, name)
    if name not in COMMANDS or (rest and name not in _TAKES_MORE):
        return None
    return Command(name, rest)


def _exactly(text: str, expected: Expected) -> str | None:
    """The answer of this number, word or text."""
    names = list(expected.answers)
    if re.fullmatch(r"\d{1,3}[.)]?", text):
        number = int(text.rstrip(".)"))
        return names[number - 1] if 1 <= number <= len(names) else None
    word = _word(text)
    for name, meaning in expected.answers.items():
        if word in {name.casefold(), _word(meaning)}:
            return name
    return None


def _word(text: str) -> str:
    return text.casefold().rstrip(".").replace(" ", "-").replace("_", "-")


def _several(text: str, expected: Expected) -> Given:
    """The answers between commas, or between spaces where that makes sense of them all."""
    parts = [part.strip() for part in re.split("[,;]", text) if part.strip()]
    if not parts:
        raise MisreadError(_help_to_answer(text, expected))
    spaced = text.split()
    if len(parts) == 1 and len(spaced) > 1 and all(_one(part, expected) for part in spaced):
        parts = spaced
    found = []
    for part in parts:
        answer = _one(part, expected)
        if answer is None:
            raise MisreadError(_help_to_answer(part, expected))
        found.append(answer)
    answers = tuple(dict.fromkeys(found))
    if len(answers) > 1 and not expected.several:
        raise MisreadError("Only one answer fits here. Type the one that comes closest.")
    if len(answers) > 1 and expected.alone in answers:
        others = joined([answer for answer in answers if answer != expected.alone])
        raise MisreadError(
            f"{_quoted(expected.alone or '')} means none of the others, so it cannot stand beside "
            f"{others}. Type one or the other."
        )
    return Given(answers)


def _one(part: str, expected: Expected) -> str | None:
    exact = _exactly(part, expected)
    if exact is not None:
        return exact
    word = _word(part)
    begun = [name for name in expected.answers if name.casefold().startswith(word)]
    return begun[0] if len(begun) == 1 and not part.isdigit() else None


def _help_to_answer(part: str, expected: Expected) -> str:
    """Why the words are no answer, with the nearest one that is."""
    names = list(expected.answers)
    word = _word(part)
    begun = [name for name in names if name.casefold().startswith(word)] if word else []
    if len(begun) > 1:
        return f"{_quoted(part)} could be {joined(begun, 'or')}. Type one more letter or two."
    if re.fullmatch(r"\d+", part) and names:
        return f"The answers are numbered 1 to {len(names)}."
    meant = nearest(part, [*names, *COMMANDS])
    hint = f" Did you mean {meant}?" if meant else ""
    return f"{_quoted(part)} is no answer here.{hint} {how_to_answer(expected)}"


def how_to_answer(expected: Expected) -> str:
    """What may be typed, in a sentence."""
    ways = []
    if expected.answers:
        ways.append(f"a number from 1 to {len(expected.answers)}")
        ways.append("a word from the list")
    ways.append("help")
    if expected.reading:
        # Last, so that the example is not read as one of the ways.
        ways.append("a reading with its unit, such as 12 psi")
    return f"Type {joined(ways, 'or')}."


def _quoted(text: str) -> str:
    return f'"{shorten(text, _SHOWN)}"'
