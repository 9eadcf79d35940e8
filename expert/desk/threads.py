"""Which case a message belongs to, by its chain of Message-IDs, and what it adds to it.

A case that came by mail keeps the ids of its messages in notes, so that reading a mailbox again
changes nothing. The id of a draft follows from that of the message it answers, so that a reply to
the draft finds the case, whether or not the chain of its mail program names the first message.
Cases are kept in memory for one run, or as journals in a folder.
"""

from __future__ import annotations

import hashlib
import re
from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple, Protocol

from expert.case.events import Answered, Described, Event, Noted
from expert.case.fitted import fitted
from expert.case.journal import Journal, read
from expert.case.place import SUFFIX, cases_in
from expert.case.state import Finding, fold
from expert.desk.answered import with_answers
from expert.desk.attached import Shown, shown_by
from expert.desk.statements import events_of
from expert.errors import GatepostError, MissingError
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import Mail
from expert.evidence.mail.understand import facts_alone
from expert.evidence.mail.understood import Read
from expert.model import Knowledge

_NOTE: Final = "message "
_SET_RIGHT: Final = "set right: message "
_MOST_IN_MEMORY: Final = 10_000
_MOST_READ: Final = 1_000
# The domain .invalid is reserved: nobody receives mail there (RFC 6761, section 6.4).
_DRAFT: Final = re.compile(r"<answer\.([0-9a-f]{32})@gatepost\.invalid>")


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


def noted(mail: Mail) -> Noted:
    """The note that a case has taken a message in."""
    return Noted(f"{_NOTE}{identity(mail)}")


def set_right(mail: Mail) -> Noted:
    """The note that somebody has read a message and corrected what was understood of it."""
    return Noted(f"{_SET_RIGHT}{identity(mail)}")


def draft_id(message_id: str) -> str:
    """The id of the draft that answers a message: always the same for the same message."""
    return f"<answer.{_key(message_id)}@gatepost.invalid>"


def _key(message_id: str) -> str:
    """What an id is found by: a digest of it, or of the message that a draft of ours answers."""
    ours = _DRAFT.fullmatch(message_id)
    if ours:
        return ours[1]
    return hashlib.sha256(message_id.encode("utf-8", "replace")).hexdigest()[:32]


def messages_in(events: Iterable[Event]) -> list[str]:
    """The ids of the messages that a case has taken in."""
    return [
        event.text.removeprefix(_NOTE)
        for event in events
        if isinstance(event, Noted) and event.text.startswith(_NOTE)
    ]


class _Index:
    """Which case an id leads to."""

    def __init__(self) -> None:
        self._case_of: dict[str, str] = {}

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages, or the answer to one."""
        keys = map(_key, ids)
        return next((self._case_of[key] for key in keys if key in self._case_of), None)

    def add(self, case: str, events: Iterable[Event]) -> None:
        """Take in the ids of a case."""
        for one in messages_in(events):
            self._case_of[_key(one)] = case

    def forget(self, events: Iterable[Event]) -> None:
        """Leave the ids of a case out."""
        for one in messages_in(events):
            self._case_of.pop(_key(one), None)


class MemoryCases:
    """Cases of one run; the oldest are forgotten when there are very many."""

    def __init__(self) -> None:
        self._events: OrderedDict[str, list[Event]] = OrderedDict()
        self._index = _Index()

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages, or the answer to one."""
        return self._index.find(ids)

    def events(self, case: str) -> Sequence[Event]:
        """Everything that happened in a case."""
        return tuple(self._events.get(case, ()))

    def append(self, case: str, events: Sequence[Event]) -> None:
        """Add events to a case, or begin it with them."""
        self._events.setdefault(case, []).extend(events)
        self._index.add(case, events)
        while len(self._events) > _MOST_IN_MEMORY:
            _, old = self._events.popitem(last=False)
            self._index.forget(old)

    def name(self, message_id: str) -> str:
        """Cases of one run have no name to show."""
        return message_id


class FolderCases:
    """Cases as journals in a folder. Nothing is written anywhere else.

    ``warn`` is told of a case that cannot be read or is in use; the others go on.
    """

    def __init__(
        self, folder: Path, digest: str, warn: Callable[[str], None] = lambda _: None
    ) -> None:
        self.folder = folder
        self._digest = digest
        self._warn = warn
        self._index = _Index()
        self._events: OrderedDict[str, tuple[Event, ...]] = OrderedDict()
        for path in reversed(cases_in(folder)):
            try:
                self._take(path.name, read(path).events)
            except GatepostError as error:
                warn(str(error))

    def _take(self, case: str, events: Sequence[Event]) -> None:
        """Remember a case; of those used longest ago only the ids."""
        self._index.add(case, events)
        self._events[case] = tuple(events)
        self._events.move_to_end(case)
        while len(self._events) > _MOST_READ:
            self._events.popitem(last=False)

    def find(self, ids: Iterable[str]) -> str | None:
        """The case that holds one of these messages, or the answer to one."""
        return self._index.find(ids)

    def events(self, case: str) -> Sequence[Event]:
        """Everything that happened in a case."""
        if case not in self._events and (self.folder / case).exists():
            self._take(case, read(self.folder / case).events)
        return self._events.get(case, ())

    def append(self, case: str, events: Sequence[Event]) -> None:
        """Add events to a journal, each on the disk at once. Raises MissingError.

        A case that is in use elsewhere is left alone; this run goes on as if it had been kept.
        """
        if not events:
            return
        try:
            with Journal.open(self.folder / case, self._digest) as journal:
                for event in events:
                    journal.append(event)
                kept = tuple(journal.events)
        except MissingError as error:
            raise MissingError(str(error).replace("--case FILE", "--cases DIR")) from None
        except GatepostError as error:
            self._warn(str(error))
            kept = (*self.events(case), *events)
        self._take(case, kept)

    def name(self, message_id: str) -> str:
        """A file name that no text of the message can lead astray: a digest of its id."""
        return f"mail-{_key(message_id)[:16]}{SUFFIX}"


class Taken(NamedTuple):
    """A message with its case, all that has happened in it, and what this message has added."""

    message: Read
    case: str = ""
    events: tuple[Event, ...] = ()
    news: tuple[Event, ...] = ()
    logs: Shown = Shown()


class Threads:
    """Takes messages in, one after the other, and says which case each belongs to."""

    def __init__(self, cases: Cases, knowledge: Knowledge, lexicon: Lexicon) -> None:
        self._cases = cases
        self._knowledge = knowledge
        self._lexicon = lexicon

    def take(self, message: Read) -> Taken:
        """Take a message into its case, with all that it says and all that its logs show.

        The case is empty for a message that begins none: unrelated or broken. A reply in a case
        is about its car, so its facts count even where its own words do not say so.
        """
        mail = message.mail
        if mail is None:
            return Taken(message)
        own = identity(mail)
        case = self._cases.find([own, *reversed(mail.references)])
        name = case or self._cases.name(own)
        before = tuple(self._cases.events(name))
        if case:
            message = self._as_reply(message, before, own)
        told = events_of(message.understanding, self._knowledge)
        logs = self._logs(mail, [*before, *told])
        if case and own in messages_in(before):
            return Taken(settled(about_a_car(message), before), case, before, (), logs)
        if case is None and message.understanding.kind == "unrelated":
            if not logs.usable:
                return Taken(message, logs=logs)
            message = about_a_car(message)
        added = news(before, told)
        added += news([*before, *added], logs.events)
        # The id comes last, so that a run that was broken off is made good by the next.
        self._cases.append(name, [*added, noted(mail)])
        fresh = tuple(one for one in added if not isinstance(one, Noted)) if case else ()
        return Taken(message, name, tuple(self._cases.events(name)), fresh, logs)

    def _logs(self, mail: Mail, events: Sequence[Event]) -> Shown:
        """What the logs that hang on a message show about the car of these events."""
        if not any(one.table for one in mail.attachments):
            return Shown()
        return shown_by(mail, fitted(fold(events), self._knowledge), self._knowledge)

    def _as_reply(self, message: Read, before: Sequence[Event], own: str) -> Read:
        """A reply with the facts of its words; the first message of a case stays as it is."""
        first = next(iter(messages_in(before)), own)
        told, mail = message.understanding, message.mail
        if first == own or mail is None:
            return message
        if told.kind == "unrelated":
            told = replace(told, kind="complaint", facts=facts_alone(mail, self._lexicon))
        elif told.kind == "vague" and fold(before).symptoms:
            told = replace(told, kind="complaint")
        told = with_answers(told, mail, self._knowledge, self._lexicon)
        return replace(message, understanding=told)


def settled(message: Read, events: Iterable[Event]) -> Read:
    """A message without what it may tell of danger, once somebody has set it right."""
    if message.mail is None or set_right(message.mail) not in events:
        return message
    told = replace(message.understanding, danger=0.0, alarming=())
    return replace(message, understanding=told)


def about_a_car(message: Read) -> Read:
    """A message that says nothing itself, but belongs to a car: by its case, or by its log."""
    if message.understanding.kind != "unrelated":
        return message
    return replace(message, understanding=replace(message.understanding, kind="complaint"))


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
            if finding is None or _outweighs(event, finding):
                found.append(event)
        elif isinstance(event, Described):
            if event.field == "symptom":
                if event.value not in state.symptoms:
                    found.append(event)
            elif getattr(state, event.field) is None:
                found.append(event)
    return found


def _outweighs(event: Answered, finding: Finding) -> bool:
    """Does an answer replace what is known? A log says more than a claim, and a check most."""
    if finding.origin == "mail":
        return event.origin == "log" or event.answers != finding.answers
    return finding.origin == event.origin == "log" and event.answers != finding.answers
