"""The bytes of a log file as whole lines, whatever it is encoded in.

What comes out is the same for every file: lines that end in a line feed, in an encoding of which
ASCII is a part, without byte-order mark and without NUL bytes. A file comes in blocks, so that it
takes the memory of one block.
"""

from __future__ import annotations

import codecs
import stat
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, Final

from expert.evidence.log.errors import LogError

LARGEST: Final = 2 << 30
LONGEST_LINE: Final = 1 << 20
BLOCK: Final = 1 << 20
MDF: Final = "mdf"
_HEAD: Final = 1 << 16

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
# The identification block of ASAM MDF, of a file that is finished or not.
_MDF_MARKS: Final = (b"MDF     ", b"UnFinMF ")
# How other files begin, each from its own published format.
_OTHERS: Final = (
    (b"PK\x03\x04", "a zip archive or a spreadsheet; unpack it or save the sheet as CSV"),
    (b"\x1f\x8b", "packed by gzip; unpack it first"),
    (b"7z\xbc\xaf", "a 7z archive; unpack it first"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet; save the sheet as CSV"),
    (b"%PDF", "a PDF; export the log as CSV"),
    (b"SQLite format 3", "a database; export the log as CSV"),
)
_BINARY: Final = "is binary, not text; export the log as CSV or as MDF 4"
# Text has tabs, line ends and, in old files, separators and an end mark among its controls.
_CONTROLS: Final = bytes(set(range(1, 32)) - set(b"\t\n\v\f\r\x1a\x1c\x1d\x1e\x1f")) + b"\x7f"
_MOST_CONTROLS: Final = 0.01
_MOST_NULS: Final = 0.1
_NULS_OF_UTF16: Final = 0.4


@dataclass(frozen=True, slots=True)
class Source:
    """A log file; ``size`` in bytes, ``start`` of them a byte-order mark.

    ``encoding`` is that of its text, or MDF for a file that is none.
    """

    file: str
    size: int
    encoding: str
    start: int
    opened: Callable[[], BinaryIO]

    def blocks(self) -> Iterator[bytes]:
        """The whole file, each block ending with a line, but for a last line without an end.

        Raises LogError for a line without end and for a file that cannot be read any further.
        """
        yield from self._lines(self.start, None)

    def piece(self, at: int, length: int) -> bytes:
        """The whole lines among ``length`` bytes from ``at`` on; may be empty."""
        begin = max(at, self.start)
        if self.encoding.startswith("utf-16"):
            begin -= (begin - self.start) % 2
        found = b"".join(self._lines(begin, max(length, 2)))
        if begin > self.start:
            found = found.partition(b"\n")[2]
        if begin + length < self.size:
            found = found[: found.rfind(b"\n") + 1]
        return found

    def text(self, data: bytes) -> str:
        """Bytes of a block as text; never raises."""
        name = "utf-8" if self.encoding.startswith("utf-16") else self.encoding
        return data.decode(name, "replace")

    def _lines(self, begin: int, length: int | None) -> Iterator[bytes]:
        """Blocks from ``begin`` on; only the last may end within a line."""
        decoder = None
        if self.encoding.startswith("utf-16"):
            decoder = codecs.getincrementaldecoder(self.encoding)("replace")
        rest = b""
        for raw, last in self._raw(begin, length):
            block = raw
            if decoder is not None:
                block = decoder.decode(raw, last).encode("utf-8", "replace")
            block = rest + block.replace(b"\0", b"")
            rest = b""
            if not last and block.endswith(b"\r"):
                block, rest = block[:-1], b"\r"
            if b"\r" in block:
                block = block.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
            if last:
                if block:
                    yield block
                return
            end = block.rfind(b"\n") + 1
            rest = block[end:] + rest
            if len(rest) > LONGEST_LINE:
                raise LogError(self.file, _ENDLESS)
            if end:
                yield block[:end]

    def _raw(self, begin: int, length: int | None) -> Iterator[tuple[bytes, bool]]:
        """Bytes as they stand, each with whether they are the last."""
        left = self.size - begin if length is None else min(length, self.size - begin)
        try:
            with self.opened() as stream:
                stream.seek(begin)
                while left > 0:
                    raw = stream.read(min(BLOCK, left))
                    left -= len(raw)
                    ended = left <= 0 or not raw
                    yield raw, ended
                    if ended:
                        return
        except OSError as error:
            raise LogError(self.file, f"cannot be read: {_why(error)}.") from None
        yield b"", True


_ENDLESS: Final = (
    f"has a line of more than {LONGEST_LINE >> 20} MiB; expected a table with line ends."
)


def from_path(path: Path) -> Source:
    """A file on disk. Raises LogError when it is missing, too large, or no text."""
    file = str(path)
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            # A pipe or a device may never end.
            raise LogError(file, "is not a file.")
        return _source(file, found.st_size, lambda: path.open("rb"))
    except FileNotFoundError:
        raise LogError(file, "there is no such file.") from None
    except (OSError, ValueError) as error:
        raise LogError(file, f"cannot be read: {_why(error)}.") from None


def from_bytes(name: str, data: bytes) -> Source:
    """A file at hand, an attachment for example. Raises LogError as `from_path` does."""
    return _source(name, len(data), lambda: BytesIO(data))


def _source(file: str, size: int, opened: Callable[[], BinaryIO]) -> Source:
    if size > LARGEST:
        raise LogError(
            file,
            f"is {size / 1e9:.1f} GB; expected at most {LARGEST / 1e9:.1f} GB. "
            "Cut it to the pulls in question.",
        )
    with opened() as stream:
        head = stream.read(_HEAD)
    if not head:
        raise LogError(file, "is empty.")
    if head.startswith(_MDF_MARKS):
        return Source(file, size, MDF, 0, opened)
    encoding, start = _encoding(file, head)
    return Source(file, size, encoding, start, opened)


def _encoding(file: str, head: bytes) -> tuple[str, int]:
    """The encoding by mark, by NUL bytes, or by trial; and the length of the mark."""
    for mark, name in _MARKS:
        if head.startswith(mark):
            return name, len(mark)
    for begin, what in _OTHERS:
        if head.startswith(begin):
            raise LogError(file, f"is {what}.")
    # A logger that lost power leaves a file filled up with NUL bytes.
    written = head.rstrip(b"\0")
    nuls = written.count(b"\0")
    if nuls > _MOST_NULS * len(written) or not written:
        if written[1::2].count(b"\0") > _NULS_OF_UTF16 * len(written):
            return "utf-16-le", 0
        if written[::2].count(b"\0") > _NULS_OF_UTF16 * len(written):
            return "utf-16-be", 0
        raise LogError(file, f"{_BINARY}.")
    controls = len(written) - len(written.translate(None, _CONTROLS))
    if controls > _MOST_CONTROLS * len(written):
        raise LogError(file, f"{_BINARY}.")
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)
    except UnicodeDecodeError:
        # Windows-1252 is Latin-1 with letters where that has a second set of controls.
        return "cp1252", 0
    return "utf-8", 0


def _why(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error)).lower()
