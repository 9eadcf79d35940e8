"""What can happen in a case, and how each event is written on a line of its journal.

An event is a small frozen record. ``encode`` gives the JSON object of a line, ``decode`` reads one
back and says in a plain sentence what is wrong with a line that is none of ours.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Any, Final, Literal, get_args

FORMAT: Final = 1

Field = Literal["setup", "gate", "bypass", "symptom", "spring_kpa", "target_kpa"]
Origin = Literal["asked", "log", "mail", "hookup"]

TEXT_LIMIT: Final = 4000


class EventError(ValueError):
    """A line that is no event of this format; the text says why."""


class NewerFormatError(EventError):
    """A journal written by a newer version."""


@dataclass(frozen=True, slots=True)
class Opened:
    """The first line of every journal."""

    knowledge: str


@dataclass(frozen=True, slots=True)
class Described:
    """A fact about the car: its setup, gate, bypass, a symptom, the spring or the target.

    ``value`` is an id, a pressure in kPa, or None when the owner does not know.
    """

    field: Field
    value: str | float | None


@dataclass(frozen=True, slots=True)
class Answered:
    """A check was answered; no answers at all means that the answer is not known."""

    check: str
    answers: tuple[str, ...]
    origin: Origin = "asked"


@dataclass(frozen=True, slots=True)
class SetAside:
    """The owner cannot or will not do this check now."""

    check: str


@dataclass(frozen=True, slots=True)
class Lacks:
    """The owner has no such tool, so no check that takes it can be done."""

    tool: str


@dataclass(frozen=True, slots=True)
class RuledOut:
    """The owner looked at this cause and found it sound."""

    cause: str


@dataclass(frozen=True, slots=True)
class Mended:
    """The owner found this cause and mended it; whether the complaint is gone is not known yet."""

    cause: str


@dataclass(frozen=True, slots=True)
class Persists:
    """After the repair the complaint is still there; something else explains it."""


@dataclass(frozen=True, slots=True)
class Confirmed:
    """With this cause mended the complaint is gone; the case is closed."""

    cause: str


@dataclass(frozen=True, slots=True)
class Noted:
    """Free words to keep with the case."""

    text: str


@dataclass(frozen=True, slots=True)
class Undone:
    """The last step that still counts is taken back."""


@dataclass(frozen=True, slots=True)
class Resumed:
    """The case was taken up again, with this state of the knowledge."""

    knowledge: str


Event = (
    Opened
    | Described
    | Answered
    | SetAside
    | Lacks
    | RuledOut
    | Mended
    | Persists
    | Confirmed
    | Noted
    | Undone
    | Resumed
)

NAMES: Final[Mapping[str, type[Event]]] = {
    "opened": Opened,
    "described": Described,
    "answered": Answered,
    "set-aside": SetAside,
    "lacks": Lacks,
    "ruled-out": RuledOut,
    "mended": Mended,
    "persists": Persists,
    "confirmed": Confirmed,
    "noted": Noted,
    "undone": Undone,
    "resumed": Resumed,
}
_NAME_OF: Final = {kind: name for name, kind in NAMES.items()}


def encode(event: Event, time: str) -> dict[str, Any]:
    """The JSON object of an event; ``time`` is ISO 8601 with its zone."""
    line: dict[str, Any] = {"format": FORMAT, "time": time, "event": _NAME_OF[type(event)]}
    for item in fields(event):
        value = getattr(event, item.name)
        line[item.name] = list(value) if isinstance(value, tuple) else value
    return line


def decode(line: object) -> tuple[Event, str]:
    """The event of a JSON object, and its time. Raises EventError."""
    if not isinstance(line, dict):
        raise EventError("a line must be a JSON object")
    version = line.get("format")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise EventError("the line has no format number")
    if version > FORMAT:
        raise NewerFormatError(
            f"it is written in format {version}, and this Gatepost reads up to {FORMAT}; "
            "update Gatepost to open it"
        )
    name, time = line.get("event"), line.get("time")
    if not isinstance(name, str) or name not in NAMES:
        raise EventError(f"{_shown(name)} is no event")
    if not isinstance(time, str):
        raise EventError("the line has no time")
    kind = NAMES[name]
    values = {}
    for item in fields(kind):
        if item.name not in line:
            raise EventError(f"{name} lacks {item.name}")
        values[item.name] = _READERS[item.name](line[item.name])
    return kind(**values), time


def _shown(value: object) -> str:
    return repr(value)[:60]


def _text(value: object) -> str:
    if not isinstance(value, str) or len(value) > TEXT_LIMIT:
        raise EventError(f"{_shown(value)} is no text of at most {TEXT_LIMIT} characters")
    return value


def _fact(value: object) -> str | float | None:
    if value is None:
        return None
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        number = float(value)
        if not abs(number) < 1e6:
            raise EventError(f"{_shown(value)} is no pressure")
        return number
    return _text(value)


def _answers(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) > 100:
        raise EventError(f"{_shown(value)} is no list of answers")
    return tuple(_text(item) for item in value)


def _one_of(choices: tuple[str, ...]) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise EventError(f"{_shown(value)} is none of {', '.join(choices)}")
        return value

    return read


_READERS: Final[Mapping[str, Callable[[object], Any]]] = {
    "knowledge": _text,
    "field": _one_of(get_args(Field)),
    "value": _fact,
    "check": _text,
    "tool": _text,
    "answers": _answers,
    "origin": _one_of(get_args(Origin)),
    "cause": _text,
    "text": _text,
}
