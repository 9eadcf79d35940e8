"""The forms that a text in a file may have: prose, numbers, probabilities, ids and ports.

Each function takes the text and returns its value, or raises MisformedError with what was
expected.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, Final, get_args

from expert.loading.nearest import nearest
from expert.model import FEATURES, PROBABILITY_WORDS, UNKNOWN, Frequency

ID: Final = "[a-z0-9]+(?:-[a-z0-9]+)*"
AS_DESIGNED: Final = "as-designed:"
LONGEST_ID: Final = 60
LONGEST_NAME: Final = 80
# What stands for the margin of the policy among the bounds of readings.
OVERBOOST_MARGIN: Final = "overboost-margin"
# Words that trees use beside the ids of answers and parts.
RESERVED: Final = frozenset({"otherwise", "unknown"})

_FREQUENCIES: Final[tuple[str, ...]] = get_args(Frequency)

# Ids and probabilities come back again and again.
_REMEMBERED: Final = 4096

_NOTHING: Final = "nothing is written here; expected a text"

_ID: Final = re.compile(ID)
_PORT: Final = re.compile(rf"{ID}\.{ID}")
_PHRASE_WORD: Final = re.compile(r"\.\.\.|\+|[^\W_]+(?:'[^\W_]+)*(?:/[^\W_]+(?:'[^\W_]+)*)*")
MOST_PHRASE_WORDS: Final = 12
_NUMBER: Final = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")


class MisformedError(Exception):
    """A text that has not the form its field wants; the message says what was expected."""


def plain(text: str) -> str:
    """Any text but none."""
    if not text:
        raise MisformedError(_NOTHING)
    return text


def prose(text: str) -> str:
    """One paragraph of text."""
    text = text.strip()
    if not text:
        raise MisformedError(_NOTHING)
    if "\n" in text:
        raise MisformedError("expected one paragraph without line breaks: write it after '>-'")
    return text


def phrase(text: str) -> str:
    """A phrase of a message: words, ``a/b`` for either, ``N`` for a number, ``...`` for a gap.

    ``+`` between all its words stands for any order.
    """
    words = text.split()
    if not words:
        raise MisformedError(_NOTHING)
    if len(words) > MOST_PHRASE_WORDS or not all(map(_PHRASE_WORD.fullmatch, words)):
        raise MisformedError(
            f"expected at most {MOST_PHRASE_WORDS} words without punctuation, where a/b is either, "
            "N a number and ... a gap"
        )
    if {"...", "+"}.intersection((words[0], words[-1])):
        raise MisformedError("expected a word before and after ... and +")
    if "+" in words and set(words[1::2]) != {"+"}:
        raise MisformedError("expected + between all words of a phrase in any order")
    return " ".join(words)


def name(text: str) -> str:
    """What a column of a log is called, as its logger writes it."""
    words = " ".join(text.split())
    if not any(map(str.isalpha, words)):
        raise MisformedError("expected the name of a column, with a letter in it")
    if len(words) > LONGEST_NAME:
        raise MisformedError(f"expected the name of a column, at most {LONGEST_NAME} long")
    return words


def number(text: str) -> float:
    """A finite decimal number."""
    if not _NUMBER.fullmatch(text):
        raise MisformedError("expected a number")
    value = float(text)
    if not math.isfinite(value):
        raise MisformedError("expected a smaller number")
    return value


def positive(text: str) -> float:
    """A number over 0."""
    value = number(text)
    if value <= 0:
        raise MisformedError("expected a number over 0")
    return value


def weight(text: str) -> str | float:
    """How often a cause is seen: one of the words for it, or a number over 0."""
    if text in _FREQUENCIES:
        return text
    if _NUMBER.fullmatch(text):
        return positive(text)
    close = nearest(text, _FREQUENCIES)
    hint = f"; did you mean '{close}'?" if close else ""
    raise MisformedError(f"expected one of {', '.join(_FREQUENCIES)}, or a number over 0{hint}")


def count(text: str) -> int:
    """A whole number over 0."""
    if not (text.isascii() and text.isdigit() and len(text) < 7 and int(text) > 0):
        raise MisformedError("expected a whole number over 0")
    return int(text)


def nonnegative(text: str) -> float:
    """A number of 0 or more."""
    value = number(text)
    if value < 0:
        raise MisformedError("expected a number of 0 or more")
    return value


@lru_cache(_REMEMBERED)
def probability(text: str) -> float:
    """A probability: one of the words for it, or a number from 0 to 1."""
    word = PROBABILITY_WORDS.get(text)
    if word is not None:
        return word
    if not _NUMBER.fullmatch(text):
        close = nearest(text, PROBABILITY_WORDS)
        hint = f"; did you mean '{close}'?" if close else ""
        words = ", ".join(PROBABILITY_WORDS)
        raise MisformedError(f"expected a probability: a number from 0 to 1, or {words}{hint}")
    value = float(text)
    if not 0 <= value <= 1:
        raise MisformedError("expected a probability from 0 to 1")
    return value


@lru_cache(_REMEMBERED)
def identifier(text: str) -> str:
    """An id: small letters, digits and single hyphens."""
    if not _ID.fullmatch(text) or len(text) > LONGEST_ID:
        raise MisformedError(
            f"expected an id: small letters, digits and single hyphens, at most {LONGEST_ID} long"
        )
    if text in RESERVED:
        raise MisformedError("this word has a meaning of its own in trees; expected another id")
    return text


def answer(text: str) -> str:
    """The id of an answer, or the word unknown."""
    return text if text == UNKNOWN else identifier(text)


def cause_id(text: str) -> str:
    """The id of a cause, which may begin with ``as-designed:``."""
    identifier(text.removeprefix(AS_DESIGNED))
    return text


@lru_cache(_REMEMBERED)
def feature(text: str) -> str:
    """The name of something that is measured in a log."""
    if text not in FEATURES:
        close = nearest(text, FEATURES)
        hint = f"; did you mean '{close}'?" if close else ""
        raise MisformedError(f"expected a measured value: one of {', '.join(FEATURES)}{hint}")
    return text


def threshold(text: str) -> str | float:
    """A number, or the words for the margin of the policy."""
    if text == OVERBOOST_MARGIN:
        return text
    if not _NUMBER.fullmatch(text):
        close = nearest(text, [OVERBOOST_MARGIN])
        hint = f"; did you mean '{close}'?" if close else ""
        raise MisformedError(f"expected a number, or {OVERBOOST_MARGIN}{hint}")
    return number(text)


@lru_cache(_REMEMBERED)
def port(text: str) -> str:
    """A port, written part.port."""
    if not _PORT.fullmatch(text):
        raise MisformedError("expected a port, written part.port")
    return text


FORMS: Final[Mapping[str, Callable[[str], Any]]] = {
    "prose": prose,
    "phrase": phrase,
    "name": name,
    "probability": probability,
    "positive": positive,
    "weight": weight,
    "count": count,
    "nonnegative": nonnegative,
    "signed": number,
    "id": identifier,
    "port": port,
    "feature": feature,
    "threshold": threshold,
}
