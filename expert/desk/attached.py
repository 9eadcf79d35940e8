"""Logs that hang on a message: what they show joins its case, of origin log.

A table that is no log, or a broken one, says why in a few words and never stops the queue.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from expert.case.events import Answered, Described, Event
from expert.case.logged import log_events, terms_of
from expert.case.state import State
from expert.evidence.log.read import (
    HAND_CONTROLLER,
    SOLENOID,
    Terms,
    Testimony,
    testimony_of_bytes,
)
from expert.evidence.mail.message import Mail
from expert.model import Knowledge
from expert.text import clean

# Where the setup is not known, a log is read as if boost might be raised by either: then nothing
# is taken for a pull at the lowest setting that does not say so itself.
_ANY_CAR: Final = frozenset({SOLENOID, HAND_CONTROLLER})
_LONGEST_REASON: Final = 300


@dataclass(frozen=True, slots=True)
class Log:
    """A table that hung on a message: what it shows, or why it is of no use.

    ``findings`` are checks with their answers.
    """

    name: str
    usable: bool
    reason: str = ""
    symptoms: tuple[str, ...] = ()
    findings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Shown:
    """What all tables of a message show, and the events that it makes."""

    logs: tuple[Log, ...] = ()
    events: tuple[Event, ...] = ()

    @property
    def usable(self) -> bool:
        """Is any of them a log that tells something?"""
        return any(one.usable for one in self.logs)


def shown_by(mail: Mail | None, state: State, knowledge: Knowledge) -> Shown:
    """What the tables of a message show about the car of a state."""
    tables = [one for one in (mail.attachments if mail else ()) if one.table]
    if not tables:
        return Shown()
    terms = _terms(knowledge, state)
    read = [
        _read(knowledge, terms, one.name, one.data)
        if one.data
        else Testimony(one.name, False, "it is empty or too large to be read here")
        for one in tables
    ]
    logs = tuple(
        Log(
            name,
            one.usable,
            _sentence(one.reason),
            tuple(dict.fromkeys(shown.symptom for shown in one.symptoms)),
            tuple(dict.fromkeys((found.check, found.answer) for found in one.findings)),
        )
        for name, one in zip((table.name for table in tables), read, strict=True)
    )
    return Shown(logs, tuple(_events(knowledge, [one for one in read if one.usable])))


def _sentence(reason: str) -> str:
    """Why a log is of no use, in words that stand by themselves."""
    text = clean(reason, _LONGEST_REASON)
    return f"it {text}" if text.startswith(("is ", "has ", "cannot ", "holds ")) else text


def _terms(knowledge: Knowledge, state: State) -> Terms:
    """How the logs are to be read: by the car as far as it is known."""
    if state.setup in knowledge.setups:
        return terms_of(knowledge, state)
    return Terms(_ANY_CAR, state.spring_kpa, state.target_kpa)


def _read(knowledge: Knowledge, terms: Terms, name: str, data: bytes) -> Testimony:
    try:
        return testimony_of_bytes(knowledge, terms, name, data)
    except Exception as error:
        # A hostile table must not stop the queue, whatever it does to the libraries that read it.
        return Testimony(name, False, f"it cannot be read ({type(error).__name__})")


def _events(knowledge: Knowledge, read: Sequence[Testimony]) -> list[Event]:
    """Only what the knowledge holds."""
    return [
        event
        for event in log_events(knowledge, read)
        if (isinstance(event, Answered) and event.check in knowledge.checks)
        or (isinstance(event, Described) and event.value in knowledge.symptoms)
    ]
