"""Closed cases out of journals, one after the other; every other journal with the reason why not.

A case teaches something once its cause was confirmed. Notes, times and file names are left behind
here: all that goes on is ids of the knowledge at hand, and a digest by which a copy is known.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from expert.case.car import parts_of
from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Lacks,
    Mended,
    Noted,
    Opened,
    Persists,
    Resumed,
    RuledOut,
    SetAside,
)
from expert.case.fitted import consultable, fitted
from expert.case.journal import Reading, read
from expert.case.place import SUFFIX
from expert.case.state import State, effective, fold
from expert.errors import GatepostError, MissingError
from expert.loading.source import shown_path
from expert.model import Knowledge
from expert.text import clean

Why = Literal["broken", "repeated", "unfinished", "contradictory", "foreign"]

# What each reason means, in the order in which they are reported.
WHY: Final[dict[Why, str]] = {
    "broken": "cannot be read",
    "repeated": "the same case once more",
    "unfinished": "no cause was confirmed",
    "contradictory": "its findings about the cause contradict each other",
    "foreign": "told with other knowledge, and its car or cause means nothing here",
}
# No story of one car has as many events; a file that does is made to keep us busy.
MOST_EVENTS: Final = 5000


@dataclass(frozen=True, slots=True)
class Closed:
    """A case with its confirmed cause.

    ``before`` is what was known before that cause was mended; ``whole`` all that was known when it
    was confirmed. ``key`` tells cases apart; ``other`` says that the knowledge was another.
    """

    before: State
    whole: State
    cause: str
    key: bytes
    other: bool


@dataclass(frozen=True, slots=True)
class Skipped:
    """A journal that teaches nothing, and the reason in a word and in a sentence."""

    file: str
    why: Why
    message: str


def closed_cases(paths: Sequence[Path], knowledge: Knowledge) -> Iterator[Closed | Skipped]:
    """Every journal of the files and folders, in a fixed order, read when its turn comes.

    Raises MissingError for a path that is not there.
    """
    seen: set[bytes] = set()
    for path in journals(paths):
        if not path.is_file():
            # Reading a pipe would wait for a writer for ever.
            yield _skipped(path, "broken")
            continue
        try:
            reading = read(path)
        except GatepostError as error:
            yield Skipped(shown_path(path), "broken", clean(str(error)))
            continue
        key = _key(reading)
        if key in seen:
            yield _skipped(path, "repeated")
            continue
        seen.add(key)
        found = closed(reading.events, key, knowledge)
        yield found if isinstance(found, Closed) else _skipped(path, found)


def journals(paths: Sequence[Path]) -> Iterator[Path]:
    """The files as they are named, and the journals in the folders and folders below, sorted.

    Raises MissingError for a path that is not there or a folder that cannot be listed.
    """
    for path in paths:
        if path.is_dir():
            yield from _inside(path)
        elif path.exists():
            yield path
        else:
            raise MissingError(f"{shown_path(path)}: there is no such file or folder of cases.")


def _inside(folder: Path) -> Iterator[Path]:
    def refuse(error: OSError) -> None:
        where = shown_path(Path(error.filename or folder))
        raise MissingError(f"{where}: cannot be read: {(error.strerror or '').lower()}.")

    for here, folders, names in os.walk(folder, onerror=refuse):
        folders.sort()
        for name in sorted(names):
            if name.endswith(SUFFIX) and not name.startswith("."):
                yield Path(here, name)


def _skipped(path: Path, why: Why) -> Skipped:
    file = shown_path(path)
    return Skipped(file, why, f"{file}: {WHY[why]}.")


def _key(reading: Reading) -> bytes:
    """A digest of the story; a copy has the same, opened again or with a note or without."""
    story = [
        (event, time)
        for event, time in zip(reading.events, reading.times, strict=True)
        if not isinstance(event, Resumed | Noted)
    ]
    return hashlib.sha256(repr(story).encode("utf-8", "surrogatepass")).digest()[:16]


def closed(events: Sequence[Event], key: bytes, knowledge: Knowledge) -> Closed | Why:
    """The case that these events tell, or why it teaches nothing."""
    if len(events) > MOST_EVENTS:
        return "broken"
    kept = [event for event in effective(events) if _counts(event, knowledge)]
    end = next((k for k, event in enumerate(kept) if isinstance(event, Confirmed)), None)
    if end is None:
        return "unfinished"
    last = kept[end]
    assert isinstance(last, Confirmed)
    if _contradicts(kept, end, last.cause):
        return "contradictory"
    mended = (k for k, event in enumerate(kept[:end]) if event == Mended(last.cause))
    before = fitted(fold(kept[: next(mended, end)]), knowledge)
    whole = fitted(fold(kept[:end]), knowledge)
    if not _means_something(before, last.cause, knowledge):
        return "foreign"
    return Closed(before, whole, last.cause, key, whole.knowledge != knowledge.digest)


def _counts(event: Event, knowledge: Knowledge) -> bool:
    """Can the event matter to what is learned?"""
    match event:
        case Noted() | SetAside() | Lacks():
            return False
        case Answered(check):
            return check in knowledge.checks
        case Opened() | Resumed() | Described() | RuledOut() | Mended() | Persists() | Confirmed():
            return True
        case _:
            return False


def _contradicts(kept: Sequence[Event], end: int, cause: str) -> bool:
    """Is another cause confirmed as well, or was this one found sound, or mended in vain?"""
    if any(isinstance(event, Confirmed) and event.cause != cause for event in kept):
        return True
    if any(isinstance(event, Persists) for event in kept[end:]) or RuledOut(cause) in kept:
        return True
    mended = next((k for k, event in enumerate(kept) if event == Mended(cause)), end)
    return any(isinstance(event, Persists) for event in kept[mended:end])


def _means_something(state: State, cause: str, knowledge: Knowledge) -> bool:
    """Does this knowledge hold the car and the cause, and can such a car have it?"""
    if cause not in knowledge.causes or not consultable(state, knowledge):
        return False
    assert state.setup is not None
    parts = parts_of(knowledge, state.setup, state.gate, state.bypass)
    return parts.issuperset(knowledge.causes[cause].needs)
