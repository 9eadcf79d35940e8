"""What every check across entries works on: the entries, and a place to put mistakes."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from expert.errors import Mistake
from expert.loading.entries import Entries
from expert.loading.places import Places
from expert.loading.reading import quoted, unknown
from expert.model import Cause, Check, KnownCase, LogReading, Part, Plumbing, Symptom

Where = tuple[str | int, ...]


class Context:
    """The decoded entries by id, and the mistakes found in them so far.

    ``Where`` is kind, id and path, as ``Places`` takes them: places are only looked up for a
    mistake.
    """

    def __init__(self, entries: Entries, places: Places) -> None:
        self._entries = entries
        self._places = places
        self.mistakes: list[Mistake] = []
        self._faulty: set[tuple[str, str]] = set()
        self.parts: Mapping[str, Part] = entries.values("part")
        self.setups: Mapping[str, Plumbing] = entries.values("setup")
        self.bypasses: Mapping[str, Plumbing] = entries.values("bypass")
        self.causes: Mapping[str, Cause] = entries.values("cause")
        self.checks: Mapping[str, Check] = entries.values("check")
        self.symptoms: Mapping[str, Symptom] = entries.values("symptom")
        self.readings: Mapping[str, LogReading] = entries.values("reading")
        self.cases: Mapping[str, KnownCase] = entries.values("case")

    def sound(self, kind: str, entries: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
        """The entries of a kind that have no mistakes of their own."""
        known = self._entries.by_kind[kind]
        return ((name, value) for name, value in entries.items() if not known[name].broken)

    def is_sound(self, kind: str, name: str) -> bool:
        """Whether there is such an entry, without mistakes of its own."""
        entry = self._entries.by_kind[kind].get(name)
        return entry is not None and not entry.broken

    def complete(self, kind: str) -> bool:
        """Whether every entry of a kind is there and fits, so that what is absent is absent."""
        return kind not in self._entries.lost and all(
            self.fits(kind, name) for name in self._entries.by_kind[kind]
        )

    def fits(self, kind: str, name: str) -> bool:
        """Whether no mistake was noted in an entry so far, here or while it was read."""
        return self.is_sound(kind, name) and (kind, name) not in self._faulty

    def lost(self, kind: str) -> bool:
        """Whether a whole file of this kind could not be read."""
        return kind in self._entries.lost

    def answer_of(self, check: str) -> str:
        """Words for an answer of a check, with the place of the check where it overrides one."""
        by = ""
        if self._places.overridden("check", check):
            place = self._places.of("check", check)
            by = f" as {place.file}:{place.line} overrides it"
        return f"of the check {quoted(check)}{by}, the answer"

    def at_key(self, message: str, kind: str, name: str, *path: str | int) -> None:
        """Note a mistake at the key that ``path`` leads to."""
        self._faulty.add((kind, name))
        self.mistakes.append(Mistake(self._places.of(kind, name, *path), message))

    def at_value(self, message: str, kind: str, name: str, *path: str | int) -> None:
        """Note a mistake at the value that ``path`` leads to."""
        self._faulty.add((kind, name))
        self.mistakes.append(Mistake(self._places.value(kind, name, *path), message))

    def unknown_keys(
        self,
        what: str,
        found: Collection[str],
        known: Collection[str],
        where: tuple[str, str, *Where],
    ) -> None:
        """Note every key in ``found``, which stands at ``where``, that is not known."""
        for key in found:
            if key not in known:
                self.at_key(unknown(what, key, known), *where, key)

    def unknown_items(
        self,
        what: str,
        found: Collection[str],
        known: Collection[str],
        where: tuple[str, str, *Where],
    ) -> None:
        """Note every item of the list ``found``, which stands at ``where``, that is not known."""
        for index, item in enumerate(found):
            if item not in known:
                self.at_value(unknown(what, item, known), *where, index)
