"""What a rule is, what it looks at, and what it finds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, NamedTuple, Protocol

from expert.errors import Place
from expert.model import Check, Knowledge, KnownCase
from expert.rules.prose import Written, written

Severity = Literal["error", "warning"]
Entry = tuple[str, str]


class Lookup(Protocol):
    """Where entries are written, as ``expert.loading.places.Places`` knows it."""

    def of(self, kind: str, name: str, *path: str | int) -> Place:
        """The place of an entry, or of a key inside it."""

    def value(self, kind: str, name: str, *path: str | int) -> Place:
        """The place of what stands behind the key."""


class Fleet(Protocol):
    """All cars that the knowledge is for, as ``expert.loading.linking.cars.Cars`` has them.

    A set of cars is an integer with one bit a car.
    """

    every: int

    def having(self, part: str) -> int:
        """The cars that have a part."""

    def having_all(self, parts: Iterable[str]) -> int:
        """The cars that have all of the parts."""

    def first(self, cars: int) -> str:
        """The name of the first car of a set that is not empty."""


class Text(NamedTuple):
    """A file as it stands on the disk: with its byte order mark, line breaks and comments.

    ``schema_line`` is the first line that it should have, or None where no schema is at hand.
    """

    kind: str
    file: str
    text: str
    schema_line: str | None = None


class Edit(NamedTuple):
    """Replace the characters from ``start`` up to ``end`` of a file by ``new``."""

    start: int
    end: int
    new: str


class Fix(NamedTuple):
    """Edits of one file that mend a finding for certain; they do not overlap."""

    file: str
    edits: tuple[Edit, ...]


class Hit(NamedTuple):
    """What a rule has found, before it is called by the rule's name.

    ``entry`` is the kind and id of the entry that may be excused from it.
    """

    place: Place
    message: str
    entry: Entry | None = None
    fix: Fix | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a rule found."""

    place: Place
    message: str
    rule: str
    severity: Severity
    entry: Entry | None = None
    fix: Fix | None = None


@dataclass(frozen=True)
class Subject:
    """What rules look at: the knowledge, its cases, its files, and where everything is written.

    For a rule that judges the others, ``ran`` holds their ids and ``earlier`` what they found.
    """

    knowledge: Knowledge
    cases: Mapping[str, KnownCase]
    places: Lookup
    cars: Fleet
    texts: Sequence[Text] = ()
    ran: frozenset[str] = frozenset()
    earlier: tuple[Finding, ...] = ()

    @cached_property
    def prose(self) -> tuple[Written, ...]:
        """Every text of every entry, in the order of the files."""
        return tuple(written(self.knowledge, self.cases))

    @cached_property
    def cause_cars(self) -> Mapping[str, int]:
        """Cause -> the cars that can have it."""
        causes = self.knowledge.causes
        return {name: self.cars.having_all(cause.needs) for name, cause in causes.items()}

    @cached_property
    def check_cars(self) -> Mapping[str, int]:
        """Check -> the cars that it can be done on."""
        checks = self.knowledge.checks
        return {name: self.cars.having_all(check.needs) for name, check in checks.items()}

    @cached_property
    def evidence(self) -> Mapping[str, Sequence[tuple[str, Check, Mapping[str, float]]]]:
        """Cause -> the checks that name it, each with the row of `given`."""
        found: dict[str, list[tuple[str, Check, Mapping[str, float]]]] = {}
        for name, check in self.knowledge.checks.items():
            for cause, row in check.given.items():
                found.setdefault(cause, []).append((name, check, row))
        return found


Find = Callable[[Subject], Iterator[Hit]]


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule with what the page of rules says about it.

    ``wrong`` and ``right`` are small knowledge files, by name; tests load both, and the rule must
    find something in the first and nothing in the second. ``after_all`` marks a rule that looks at
    what the others have found.
    """

    id: str
    severity: Severity
    summary: str
    why: str
    wrong: Mapping[str, str]
    right: Mapping[str, str]
    find: Find
    after_all: bool = False

    def findings(self, subject: Subject) -> Iterator[Finding]:
        """Everything that it finds, under its own name."""
        for hit in self.find(subject):
            yield Finding(hit.place, hit.message, self.id, self.severity, hit.entry, hit.fix)
