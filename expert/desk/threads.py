"""Which case a message belongs to, by its chain of Message-IDs, and what it adds to it.

A case that came by mail keeps the ids of its messages in notes, so that reading a mailbox again
changes nothing. Cases are kept in memory for one run, or as journals in a folder.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final, Protocol

from expert.case.events import Answered, Described, Event, Noted
from expert.case.journal import Journal, read
from expert.case.place import SUFFIX, cases_in
from expert.case.state import fold
from expert.desk.statements import events_of
from expert.errors import GatepostError
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import Mail
from expert.evidence.mail.understand import facts_alone
from expert.evidence.mail.understood import Read
from expert.model import Knowledge

_NOTE: Final = "message "
_MOST_IN_MEMORY: Final = 10_000


class Cases(Protocol):
    """Where cases are kept."""

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages."""

    def events(self, case: str) -> Sequence[Event]:
        """Everything that happened in a case."""

    def append(self, case: str, events: Sequence[Event]) -> None:
        """Add events to a case, or begin it with them."""

    def name(self, message_id: str) -> str:
        """The name that a case beginning with this message gets."""


def identity(mail: Mail) -> str:
    """What a message is known by: its id, or a digest of what it says where it has none."""
    if mail.message_id:
        return mail.message_id
    words = f"{mail.sender}\0{mail.subject}\0{mail.date}\0{mail.text}"
    return f"<{hashlib.sha256(words.encode('utf-8', 'replace')).hexdigest()[:32]}@no-id>"


def messages_in(events: Iterable[Event]) -> list[str]:
    """The ids of the messages that a case has taken in."""
    return [
        event.text.removeprefix(_NOTE)
        for event in events
        if isinstance(event, Noted) and event.text.startswith(_NOTE)
    ]


class MemoryCases:
    """Cases of one run; the oldest are forgotten when there are very many."""

    def __init__(self) -> None:
        self._events: OrderedDict[str, list[Event]] = OrderedDict()
        self._case_of: dict[str, str] = {}

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages."""
        return next((self._case_of[one] for one in ids if one in self._case_of), None)

    def events(self, case: str) -> Sequence[Event]:
        """Everything that happened in a case."""
        return tuple(self._events.get(case, ()))

    def append(self, case: str, events: Sequence[Event]) -> None:
        """Add events to a case, or begin it with them."""
        self._events.setdefault(case, []).extend(events)
        for message in messages_in(events):
            self._case_of[message] = case
        while len(self._events) > _MOST_IN_MEMORY:
            _, old = self._events.popitem(last=False)
            for message in messages_in(old):
                self._case_of.pop(message, None)

    def name(self, message_id: str) -> str:
        """Cases of one run have no name to show."""
        return message_id


class FolderCases:
    """Cases as journals in a folder. Nothing is written anywhere else."""

    def __init__(self, folder: Path, digest: str) -> None:
        self.folder = folder
        self._digest = digest
        self._events: dict[str, tuple[Event, ...]] = {}
        self._case_of: dict[str, str] = {}
        self.damaged: list[str] = []
        for path in reversed(cases_in(folder)):
            try:
                events = read(path).events
            except GatepostError as error:
                self.damaged.append(str(error))
                continue
            self._take(path.name, events)

    def _take(self, case: str, events: Sequence[Event]) -> None:
        self._events[case] = tuple(events)
        for message in messages_in(events):
            self._case_of[message] = case

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages."""
        return next((self._case_of[one] for one in ids if one in self._case_of), None)

    def events(self, case: str) -> Sequence[Event]:
        """Everything that happened in a case."""
        return self._events.get(case, ())

    def append(self, case: str, events: Sequence[Event]) -> None:
        """Add events to a journal, each on the disk at once. Raises MissingError."""
        with Journal.open(self.folder / case, self._digest) as journal:
            for event in events:
                journal.append(event)
            self._take(case, journal.events)

    def name(self, message_id: str) -> str:
        """A file name that no text of the message can lead astray: a digest of its id."""
        digest = hashlib.sha256(message_id.encode("utf-8", "replace")).hexdigest()
        return f"mail-{digest[:16]}{SUFFIX}"


class Threads:
    """Takes messages in, one after the other, and says which case each belongs to."""

    def __init__(self, cases: Cases, knowledge: Knowledge, lexicon: Lexicon) -> None:
        self._cases = cases
        self._knowledge = knowledge
        self._lexicon = lexicon

    def take(self, message: Read) -> tuple[Read, str, tuple[Event, ...], tuple[Event, ...]]:
        """The message, its case, all that has happened in the case, and what this one has added.

        The case is empty for a message that begins none: unrelated or broken. A reply in a case
        is about its car, so its facts count even where its own words do not say so.
        """
        mail = message.mail
        if mail is None:
            return message, "", (), ()
        own = identity(mail)
        known = self._cases.find([own])
        if known is not None:
            events = tuple(self._cases.events(known))
            return self._as_reply(message, events, own), known, events, ()
        case = self._cases.find(reversed(mail.references))
        if case is None and message.understanding.kind == "unrelated":
            return message, "", (), ()
        before = tuple(self._cases.events(case)) if case else ()
        if case:
            message = self._as_reply(message, before, own)
        added = news(before, events_of(message.understanding, self._knowledge))
        name = case or self._cases.name(own)
        self._cases.append(name, [Noted(f"{_NOTE}{own}"), *added])
        fresh = tuple(one for one in added if not isinstance(one, Noted)) if case else ()
        return message, name, tuple(self._cases.events(name)), fresh

    def _as_reply(self, message: Read, before: Sequence[Event], own: str) -> Read:
        """A reply with the facts of its words; the first message of a case stays as it is."""
        first = next(iter(messages_in(before)), own)
        told = message.understanding
        if first == own or message.mail is None or told.kind != "unrelated":
            return message
        facts = facts_alone(message.mail, self._lexicon)
        understanding = replace(told, kind="complaint", facts=facts)
        return replace(message, understanding=understanding)


def news(before: Sequence[Event], told: Sequence[Event]) -> list[Event]:
    """Of what was told, what the case did not know yet or knew otherwise."""
    state = fold(before)
    found: list[Event] = []
    for event in told:
        if isinstance(event, Noted):
            if event.text not in state.notes:
                found.append(event)
        elif isinstance(event, Answered):
            finding = state.finding(event.check)
            if finding is None or (finding.origin == "mail" and finding.answers != event.answers):
                found.append(event)
        elif isinstance(event, Described):
            if event.field == "symptom":
                if event.value not in state.symptoms:
                    found.append(event)
            elif getattr(state, event.field) is None:
                found.append(event)
    return found
