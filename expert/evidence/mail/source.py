"""Where messages come from: .eml files, mbox files, Maildir folders, plain text, and stdin.

Messages come one after the other, so that a mailbox of any size takes the memory of one message.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from expert.errors import MissingError
from expert.evidence.mail.message import LARGEST_MESSAGE
from expert.text import clean

STDIN: Final = "-"
_CHUNK: Final = 1 << 16
_MBOX: Final = b"From "
_MAILDIR: Final = ("cur", "new")


@dataclass(frozen=True, slots=True)
class Raw:
    """The bytes of one message, or why they cannot be had; ``file`` says where it stands."""

    file: str
    data: bytes
    problem: str = ""


def raw_messages(paths: Iterable[str]) -> Iterator[Raw]:
    """Every message of these files and folders. Raises MissingError for one that is not there."""
    for path in paths:
        if path == STDIN:
            yield from _stream(sys.stdin.buffer, STDIN)
        else:
            yield from _path(Path(path))


def _path(path: Path) -> Iterator[Raw]:
    shown = clean(str(path))
    try:
        if path.is_dir():
            files = list(_in_folder(path))
        elif path.exists():
            files = [path]
        else:
            raise MissingError(f"{shown}: there is no such file or folder.")
    except OSError as error:
        raise MissingError(f"{shown}: cannot be read: {_reason(error)}.") from None
    alone = files == [path]
    for file in files:
        name = clean(str(file))
        try:
            if not file.is_file():
                # A pipe or a device may never end.
                if alone:
                    raise MissingError(f"{name}: is no file or folder.")
                continue
            with file.open("rb") as stream:
                yield from _stream(stream, name)
        except OSError as error:
            if alone:
                raise MissingError(f"{name}: cannot be read: {_reason(error)}.") from None
            yield Raw(name, b"", f"it cannot be read: {_reason(error)}")


def _in_folder(path: Path) -> Iterator[Path]:
    """The messages of a Maildir, or of a folder of messages, in the order of their names."""
    folders = [path / name for name in _MAILDIR if (path / name).is_dir()]
    for folder in folders or [path]:
        for file in sorted(folder.iterdir()):
            if not file.name.startswith("."):
                yield file


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _stream(stream: BinaryIO, name: str) -> Iterator[Raw]:
    """One message, or all of an mbox, which begins with a line ``From ``."""
    first = stream.readline(_CHUNK)
    if first.startswith(_MBOX):
        yield from _mbox(stream, name)
    else:
        data = first + stream.read(max(0, LARGEST_MESSAGE + 1 - len(first)))
        too_large = len(data) > LARGEST_MESSAGE
        yield Raw(name, b"" if too_large else data, _TOO_LARGE if too_large else "")


_TOO_LARGE: Final = f"it is over {LARGEST_MESSAGE // 1024 // 1024} MiB"


def _mbox(stream: BinaryIO, name: str) -> Iterator[Raw]:
    """The messages of an mbox whose first separator has been read (RFC 4155).

    A line ``From `` begins a message only after an empty line or at the top; ``>From `` is undone.
    """
    number = 1
    lines: list[bytes] = []
    size = 0
    blank = begins = True
    while True:
        line = stream.readline(_CHUNK)
        if not line or (begins and blank and line.startswith(_MBOX)):
            yield _whole(name, number, lines, size)
            if not line:
                return
            number, lines, size = number + 1, [], 0
            blank, begins = False, line.endswith(b"\n")
            continue
        size += len(line)
        if size <= LARGEST_MESSAGE:
            if begins and line.startswith(b">") and line.lstrip(b">").startswith(_MBOX):
                line = line[1:]
            lines.append(line)
        else:
            # It is broken already; do not keep what will not be read.
            lines.clear()
        if begins:
            blank = not line.strip()
        begins = line.endswith(b"\n")


def _whole(name: str, number: int, lines: list[bytes], size: int) -> Raw:
    place = f"{name}:{number}"
    if size > LARGEST_MESSAGE:
        return Raw(place, b"", _TOO_LARGE)
    return Raw(place, b"".join(lines))
