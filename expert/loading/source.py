"""One file to text, or to one clear mistake: nothing is read that is not a small text file."""

from __future__ import annotations

import re
import stat
from pathlib import Path
from typing import Final

from expert.errors import KnowledgeError, Mistake, Place
from expert.text import INVISIBLE, clean

MOST_BYTES: Final = 1 << 20
_MOST_SHOWN: Final = 10

# What a text file may not hold: C0 and C1 controls except the line break, the Unicode line and
# paragraph separators, invisible and bidirectional characters, surrogates and noncharacters.
FORBIDDEN: Final = re.compile(
    rf"[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufff9-\ufffb\ufffe\uffff{INVISIBLE}]"
)


def shown_path(path: Path) -> str:
    """The path as messages show it: from the current folder when it is inside it."""
    try:
        here, absolute = Path.cwd(), path.absolute()
    except OSError:
        # The current folder is gone.
        return clean(str(path))
    return clean(str(absolute.relative_to(here) if absolute.is_relative_to(here) else absolute))


def read_bytes(path: Path, file: str) -> bytes:
    """The contents of a regular file of at most a mebibyte.

    ``file`` is the name for messages. Raises KnowledgeError with one mistake.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise _refusal(file, "this is a folder; expected a file")
        if not stat.S_ISREG(status.st_mode):
            raise _refusal(file, "this is not an ordinary file; expected a text file")
        # Refused by its size before a byte is read; read on only as far as a file may go, since
        # it can grow meanwhile.
        if status.st_size > MOST_BYTES:
            raise _too_large(file, status.st_size)
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _refusal(file, "there is no such file") from None
    except (OSError, ValueError) as error:
        reason = clean(getattr(error, "strerror", None) or str(error))
        raise _refusal(file, f"the file cannot be read ({reason}); check its permissions") from None
    if len(data) > MOST_BYTES:
        raise _too_large(file, len(data))
    return data


def to_text(data: bytes, file: str) -> str:
    """UTF-8 bytes as text with plain line breaks and no byte order mark.

    Raises KnowledgeError.
    """
    if not data.strip(b"\xef\xbb\xbf \t\r\n"):
        raise _refusal(file, "the file is empty")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise KnowledgeError([_undecodable(data, error.start, file)]) from None
    text = text.removeprefix("\ufeff")
    if "\r" in text:
        text = text.replace("\r\n", "\n")
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    mistakes = [
        Mistake(place_of(text, found.start(), file), _forbidden(found.group()))
        for found, _ in zip(FORBIDDEN.finditer(text), range(_MOST_SHOWN), strict=False)
    ]
    if mistakes:
        raise KnowledgeError(mistakes)
    return text


def place_of(text: str, index: int, file: str) -> Place:
    """The place of the character at ``index``."""
    line = text.count("\n", 0, index)
    start = text.rfind("\n", 0, index) + 1
    return Place(file, line + 1, index - start + 1)


def _refusal(file: str, message: str) -> KnowledgeError:
    return KnowledgeError([Mistake(Place(file, 1, 1), message)])


def _too_large(file: str, size: int) -> KnowledgeError:
    found = f"the file has {size / MOST_BYTES:.1f} MiB; at most 1 MiB is read"
    return _refusal(file, f"{found}, so split it by topic")


def _forbidden(character: str) -> str:
    if character == "\t":
        return "found a tab; use spaces"
    if character == "\r":
        return "found a carriage return without a line feed; save it with other line ends"
    return f"found the invisible character U+{ord(character):04X}; delete it"


def _undecodable(data: bytes, start: int, file: str) -> Mistake:
    before = data[:start].removeprefix(b"\xef\xbb\xbf").decode("utf-8").replace("\r\n", "\n")
    place = place_of(before, len(before), file)
    if b"\0" in data[:1024]:
        return Mistake(place, "this is not a text file; expected YAML in UTF-8")
    return Mistake(
        place, f"the byte 0x{data[start]:02X} is not UTF-8; save the file as UTF-8 in the editor"
    )
