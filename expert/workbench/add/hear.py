"""What was typed becomes the value of a question, or one kind message. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from expert.case.pressures import possible
from expert.errors import UsageError
from expert.loading.forms import MisformedError, count, identifier, positive, probability
from expert.loading.nearest import nearest
from expert.model import PROBABILITY_WORDS
from expert.text import shorten
from expert.units import parse_kpa
from expert.workbench.add.compose import tidy
from expert.workbench.add.naming import free_id
from expert.workbench.add.question import Form, Question, Value

LONGEST_TEXT: Final = 2000
_SHOWN: Final = 40
# Windows keeps these names for devices, with any suffix: what is written into such a file is lost.
_DEVICES: Final = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{k}" for port in ("com", "lpt") for k in range(10))]
)
# Sums of typed probabilities may miss 1 by the last binary digit.
_SLACK: Final = 1e-9


def hear(question: Question, text: str) -> Value:
    """The value of a text for a question without a list. Raises UsageError."""
    text = tidy(text)
    if not text:
        if question.default is None:
            raise UsageError("Nothing was typed. Type an answer, or help.")
        return question.default
    return (_HEARERS[question.form](question, text),)


def fits(question: Question, value: Value) -> bool:
    """Can a kept value still be the answer to this question?"""
    if value == question.default:
        return True
    if question.form in ("one", "several"):
        most = 1 if question.form == "one" else len(question.choices)
        least = max(question.least, 1 if question.form == "one" else 0)
        known = all(item in question.choices for item in value)
        return known and least <= len(value) <= most and not stands_apart(question, value)
    try:
        return len(value) == 1 and hear(question, value[0]) == value
    except UsageError:
        return False


def stands_apart(question: Question, value: Value) -> str | None:
    """A choice that cannot stand beside the others that were made, if there is one."""
    return next((one for one in value if len(value) > 1 and one in question.alone), None)


def _text(question: Question, text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise UsageError(
            f"That is longer than an entry should be ({LONGEST_TEXT} characters). Shorten it."
        )
    return text


def _id(question: Question, text: str) -> str:
    if text in question.choices:
        return text
    try:
        identifier(text)
    except MisformedError as problem:
        raise UsageError(f"{_quoted(text)} cannot be a name here; {problem}.") from None
    if text in _DEVICES:
        raise UsageError(f"{text} is no file but a device on Windows. Type another name.")
    if text in question.taken:
        other = free_id(text, question.taken)
        raise UsageError(f"{text} exists already. Type another id, such as {other}.")
    return text


def _probability(question: Question, text: str) -> str:
    word = text.casefold().replace(" ", "-")
    if word.endswith("%"):
        word = _share_of_percent(word.rstrip("%").rstrip("-"))
    begun = [one for one in PROBABILITY_WORDS if word and one.startswith(word)]
    if word not in PROBABILITY_WORDS and len(begun) == 1 and not word[0].isdigit():
        word = begun[0]
    try:
        value = probability(word)
    except MisformedError:
        close = nearest(word, PROBABILITY_WORDS)
        hint = f" Did you mean {close}?" if close else ""
        words = ", ".join(PROBABILITY_WORDS)
        raise UsageError(
            f"{_quoted(text)} is no probability.{hint} Type a number from 0 to 1, a percentage, "
            f"or one of {words}."
        ) from None
    if value > question.most + _SLACK:
        raise UsageError(
            f"Together the answers would come to more than 1; at most "
            f"{short_number(max(question.most, 0.0))} is left here."
        )
    return word if word in PROBABILITY_WORDS else short_number(value)


def _share_of_percent(digits: str) -> str:
    try:
        return f"{float(digits.replace(',', '.')) / 100:.6f}"
    except ValueError:
        return digits


def short_number(value: float) -> str:
    """A number as the files write it: ``.05``, ``1``, ``12.5``."""
    digits = f"{value:.6f}".rstrip("0").rstrip(".")
    return digits.removeprefix("0") if digits.startswith("0.") else digits or "0"


def _minutes(question: Question, text: str) -> str:
    bare = text.casefold().removesuffix("minutes").removesuffix("min").strip()
    try:
        return short_number(positive(bare)) if positive(bare) >= 1e-6 else "1"
    except MisformedError:
        raise UsageError(
            f"{_quoted(text)} is no number of minutes. Type one, such as 15."
        ) from None


def _whole(question: Question, text: str) -> str:
    try:
        return str(count(text))
    except MisformedError:
        raise UsageError(f"{_quoted(text)} is no whole number over 0.") from None


def _pressure(question: Question, text: str) -> str:
    value = parse_kpa(text if not text.replace(".", "").isdigit() else f"{text} kPa")
    if not possible("spring_kpa", value):
        raise UsageError("No spring has that pressure. Type it with its unit, such as 7 psi.")
    return short_number(round(value))


def _never(question: Question, text: str) -> str:
    raise UsageError("Pick from the list.")


def _quoted(text: str) -> str:
    return f'"{shorten(text, _SHOWN)}"'


_HEARERS: Final[Mapping[Form, Callable[[Question, str], str]]] = {
    "text": _text,
    "id": _id,
    "one": _never,
    "several": _never,
    "probability": _probability,
    "minutes": _minutes,
    "whole": _whole,
    "pressure": _pressure,
}
