"""A draft on the disk: one JSON object a line, only ever added to, so that nothing typed is lost.

The first line says which folders the draft is about. Then come answers, undone answers and, when
it is written, all files as they were and as they become, so that a write that was cut short can be
finished.
"""

from __future__ import annotations

import base64
import json
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO, Final

from expert.case.lock import lock_exclusively
from expert.case.place import default_folder
from expert.errors import GatepostError, MissingError
from expert.text import clean
from expert.workbench.add.draft import Draft
from expert.workbench.add.plan import Change
from expert.workbench.add.question import Value

SUFFIX: Final = ".draft.jsonl"
FORMAT: Final = 1
SIZE_LIMIT: Final = 64 * 1024 * 1024
_NOTHING: Final = Draft()


@dataclass(frozen=True, slots=True)
class Kept:
    """A draft as it was kept: its folders, its answers, and the files of a write cut short."""

    path: Path
    into: Path
    knowledge: tuple[Path, ...]
    draft: Draft
    writing: tuple[Change, ...]


def drafts_folder() -> Path:
    """Where drafts are kept: beside the cases."""
    return default_folder().parent / "drafts"


def drafts(folder: Path) -> list[Path]:
    """The drafts of a folder, the latest change first."""
    try:
        found = [(path.stat().st_mtime, path) for path in folder.glob(f"*{SUFFIX}")]
    except OSError:
        return []
    return [path for _, path in sorted(found, reverse=True)]


def read(path: Path) -> Kept:
    """Read a draft without touching it. Raises MissingError or GatepostError."""
    try:
        with path.open("rb") as file:
            data = file.read(SIZE_LIMIT + 1)
    except OSError as error:
        raise MissingError(f"{path}: cannot be read ({_reason(error)})") from None
    return parse(data, path)


def parse(data: bytes, path: Path) -> Kept:
    """The draft of a file's bytes; a last line that was torn by a crash is left out."""
    *lines, _ = data.split(b"\n")
    if len(data) > SIZE_LIMIT or not lines:
        raise _damaged(path, 1)
    records = []
    for number, line in enumerate(lines, start=1):
        try:
            records.append(json.loads(line.decode("utf-8")))
        except (ValueError, RecursionError):
            raise _damaged(path, number) from None
    head, *rest = records
    try:
        if head["format"] != FORMAT:
            raise _damaged(path, 1)
        into, knowledge = _folder(head["into"]), tuple(_folder(one) for one in head["knowledge"])
    except (KeyError, TypeError, ValueError):
        raise _damaged(path, 1) from None
    draft = Draft()
    writing: tuple[Change, ...] = ()
    for number, record in enumerate(rest, start=2):
        try:
            draft, writing = _told(draft, record)
        except (KeyError, TypeError, ValueError):
            raise _damaged(path, number) from None
    return Kept(path, into, knowledge, draft, writing)


def _folder(text: str) -> Path:
    if not text or "\0" in text:
        raise ValueError("no path holds a zero, and none is empty")
    return Path(text)


def _told(draft: Draft, record: Any) -> tuple[Draft, tuple[Change, ...]]:
    """The draft after one line, and the files that are being written when it is the last."""
    if "back" in record:
        return draft.back(), ()
    if "writing" in record:
        return draft, tuple(_change(one) for one in record["writing"])
    key, value = record["key"], record["value"]
    texts = isinstance(value, list) and all(isinstance(one, str) for one in value)
    if not isinstance(key, str) or not texts:
        raise ValueError("an answer is a list of texts")
    return draft.answered(key, tuple(value)), ()


def _change(record: Any) -> Change:
    before = record["before"]
    return Change(
        Path(record["path"]),
        None if before is None else base64.b64decode(before),
        base64.b64decode(record["after"]),
    )


class DraftFile:
    """A draft that is being written; its file begins with the first answer."""

    def __init__(
        self, path: Path, into: Path, knowledge: Sequence[Path], start: Draft = _NOTHING
    ) -> None:
        self.path = path
        self.begun = False
        self._start = start
        self._head = {
            "format": FORMAT,
            "into": str(into),
            "knowledge": [str(folder) for folder in knowledge],
        }
        self._file: BinaryIO | None = None

    @classmethod
    def new(cls, into: Path, knowledge: Sequence[Path], start: Draft) -> DraftFile:
        """A draft that has no file yet; ``start`` holds answers that nobody had to type."""
        stem = datetime.now().astimezone().strftime("%Y-%m-%d-%H%M%S")
        return cls(drafts_folder() / f"{stem}-{os.getpid()}{SUFFIX}", into, knowledge, start)

    @classmethod
    def again(cls, kept: Kept) -> DraftFile:
        """A draft that is taken up again; a torn last line is cut off."""
        draft = cls(kept.path, kept.into, kept.knowledge)
        draft._open()
        return draft

    def answered(self, key: str, value: Value) -> None:
        """Keep an answer. Raises MissingError when it cannot be."""
        self._append({"key": key, "value": list(value)})

    def undone(self) -> None:
        """Keep that the last answer was taken back."""
        self._append({"back": True})

    def writing(self, changes: Sequence[Change]) -> None:
        """Keep what is about to be written."""
        self._append({"writing": [_record(one) for one in changes]})

    def discard(self) -> None:
        """The draft is done with: take its file away."""
        self.close()
        with suppress(OSError):
            self.path.unlink()

    def close(self) -> None:
        """Close the file."""
        if self._file is not None:
            with suppress(OSError):
                self._file.close()
            self._file = None

    def _open(self) -> BinaryIO:
        if self._file is not None:
            return self._file
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            file = self.path.open("a+b", buffering=0)
        except OSError as error:
            raise self._unwritable(error) from None
        try:
            lock_exclusively(file, self.path)
            file.seek(0)
            data = file.read()
            file.truncate(data.rfind(b"\n") + 1)
        except OSError as error:
            file.close()
            raise self._unwritable(error) from None
        except GatepostError:
            file.close()
            raise GatepostError(
                f"{self.path}: another Gatepost has this draft open. Leave it there first."
            ) from None
        self._file = file
        self.begun = True
        if not data:
            self._append(self._head)
            for answer in self._start.answers:
                self.answered(answer.key, answer.value)
        return file

    def _append(self, record: object) -> None:
        file = self._open()
        data = (json.dumps(record, ensure_ascii=False) + "\n").encode("utf-8", "replace")
        before = file.seek(0, os.SEEK_END)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[file.write(rest) :]
            os.fsync(file.fileno())
        except OSError as error:
            with suppress(OSError):
                file.truncate(before)
            raise self._unwritable(error) from None

    def _unwritable(self, error: OSError) -> MissingError:
        return MissingError(
            f"{self.path}: the draft cannot be kept there ({_reason(error)}). Make room, or set "
            "XDG_DATA_HOME to another folder."
        )


def _record(change: Change) -> dict[str, str | None]:
    def packed(data: bytes) -> str:
        return base64.b64encode(data).decode("ascii")

    before = None if change.before is None else packed(change.before)
    return {"path": str(change.path), "before": before, "after": packed(change.after)}


def _damaged(path: Path, line: int) -> GatepostError:
    more = "this line and all below it to go on from there, or " if line > 1 else ""
    return GatepostError(
        f"{path}:{line}:1: this line of the draft cannot be read. "
        f"Delete {more}the file to begin anew."
    )


def _reason(error: OSError) -> str:
    return clean(error.strerror or str(error)).lower()
