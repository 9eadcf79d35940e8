"""The journal of a case: one JSON object a line, only ever added to.

Every event is on the disk before ``append`` returns. A last line that was torn by a crash is cut
off when the journal is opened for writing, and that is reported; any other damage is refused with
its line, and the file is left as it is. One process at a time may write to a journal.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import BinaryIO, Final, Literal, Self

from expert.case.events import (
    Event,
    EventError,
    NewerFormatError,
    Opened,
    Resumed,
    decode,
    encode,
)
from expert.case.lock import lock_exclusively
from expert.errors import GatepostError, MissingError

SIZE_LIMIT: Final = 16 * 1024 * 1024
_BEGINNING: Final = b'{"format": '
# Some editors put a byte order mark before the text that they save.
_MARK: Final = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True)
class Reading:
    """A journal as read: its events, their times, and where the whole lines end, in bytes.

    A last line that cannot be read was ``torn`` by a crash; one that can be read, but lacks its
    line end, is ``unended``.
    """

    events: tuple[Event, ...]
    times: tuple[str, ...]
    whole_bytes: int
    end: Literal["whole", "unended", "torn"]


def parse(data: bytes, name: str) -> Reading:
    """The events of a journal's bytes. Raises GatepostError for damage before the last line."""
    events: list[Event] = []
    times: list[str] = []
    start = 0
    for number, raw in enumerate(data.split(b"\n"), start=1):
        line = raw.removeprefix(_MARK) if number == 1 else raw
        end = start + len(raw) + 1
        last = end > len(data)
        if last and not line:
            return Reading(tuple(events), tuple(times), start, "whole")
        try:
            event, time = decode(json.loads(line.decode("utf-8")))
            if (number == 1) != isinstance(event, Opened):
                raise EventError("a journal opens with its first line, and only there")
        except NewerFormatError as error:
            raise GatepostError(f"{name}: {error}.") from None
        except (EventError, ValueError, RecursionError) as error:
            if last and (events or _may_begin(line)):
                return Reading(tuple(events), tuple(times), start, "torn")
            why = str(error) if isinstance(error, EventError) else "it is no JSON text"
            raise GatepostError(
                f"{name}:{number}:1: this line of the case cannot be read: {why}. "
                "Nothing was changed; restore the file from a copy, or begin a new case."
            ) from None
        events.append(event)
        times.append(time)
        start = end
    return Reading(tuple(events), tuple(times), len(data), "unended")


def _may_begin(line: bytes) -> bool:
    """Could this be the torn first line of a journal? Any other file must be left alone."""
    return line.startswith(_BEGINNING) or _BEGINNING.startswith(line)


def read(path: Path) -> Reading:
    """Read a journal without touching it. Raises MissingError or GatepostError."""
    try:
        with path.open("rb") as file:
            data = file.read(SIZE_LIMIT + 1)
    except OSError as error:
        raise MissingError(f"{path}: cannot be read: {_reason(error)}.") from None
    if len(data) > SIZE_LIMIT:
        raise GatepostError(f"{path}: is over 16 MiB, which no case of ours is.")
    return parse(data, str(path))


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _now() -> str:
    return datetime.now().astimezone().isoformat(timespec="seconds")


class Journal:
    """A journal open for writing; use it as a context manager."""

    def __init__(self, path: Path, file: BinaryIO, events: list[Event], repaired: bool) -> None:
        self.path = path
        self.repaired = repaired
        self.events = events
        self._file = file
        self._clock: Callable[[], str] = _now

    @classmethod
    def open(cls, path: Path, knowledge: str) -> Self:
        """Open or begin a journal. Raises MissingError or GatepostError; never loses a line."""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            file = path.open("a+b", buffering=0)
        except OSError as error:
            raise MissingError(
                f"{path}: the case cannot be kept there: {_reason(error)}. "
                "Name another place with --case FILE."
            ) from None
        try:
            lock_exclusively(file, path)
            file.seek(0)
            data = file.read(SIZE_LIMIT + 1)
            if len(data) > SIZE_LIMIT:
                raise GatepostError(f"{path}: is over 16 MiB, which no case of ours is.")
            reading = parse(data, str(path))
            journal = cls(path, file, list(reading.events), reading.end == "torn")
            if reading.end == "torn":
                file.truncate(reading.whole_bytes)
            elif reading.end == "unended":
                file.write(b"\n")
            if not reading.events:
                journal.append(Opened(knowledge))
            else:
                journal.append(Resumed(knowledge))
        except OSError as error:
            file.close()
            raise MissingError(f"{path}: cannot be written: {_reason(error)}.") from None
        except BaseException:
            file.close()
            raise
        return journal

    def append(self, event: Event) -> None:
        """Write one event and force it to the disk. Raises MissingError when that fails."""
        line = json.dumps(encode(event, self._clock()), ensure_ascii=False) + "\n"
        data = line.encode("utf-8", "replace")
        before = self._file.seek(0, os.SEEK_END)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[self._file.write(rest) :]
            os.fsync(self._file.fileno())
        except OSError as error:
            with suppress(OSError):
                self._file.truncate(before)
            raise MissingError(
                f"{self.path}: the last answer could not be saved: {_reason(error)}. "
                "Everything before it is safe; make room, then open the case again."
            ) from None
        self.events.append(event)

    def close(self) -> None:
        """Close the file and let others write."""
        with suppress(OSError):
            self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        value: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()
