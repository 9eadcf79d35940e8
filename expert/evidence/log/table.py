"""Blocks of lines into columns of numbers.

A block is looked at as bytes: where the delimiters and line ends are is where the cells are. Lines
with another number of cells are left out, since nobody can say which cell is missing. What is
quoted or aligned by blanks is first written in the plain way.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from io import StringIO
from math import isfinite
from typing import TYPE_CHECKING, Final

from expert.evidence.log import clock, digits
from expert.evidence.log.cells import NAN, Signs, is_nothing, number
from expert.evidence.log.dialect import BLANKS, Dialect

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    import numpy as np
    from numpy.typing import NDArray

    Places = NDArray[np.int64]
    Floats = NDArray[np.float64]

_LINE_END: Final = ord("\n")
_QUOTE: Final = ord('"')
_BLANK: Final = ord(" ")
# A control character that stands for the delimiter once cells have been taken out of quotes.
_PLAIN: Final = "\x1f"
_GAPS: Final = re.compile(rb"[ \t]+")
_MOST_KEPT: Final = 4096
_WIDEST_GAP: Final = 40
# How far above a line without an end is looked to see whether it is whole.
_LINES_ABOVE: Final = 30
_LOOKED_AT: Final = 1 << 14
_LONGEST_CELL: Final = 1 << 16


@dataclass(frozen=True, slots=True)
class Block:
    """Lines that fit the table.

    ``data`` (bytes) has a cell of column j and line i between ``begins[j][i]`` and ``ends[j][i]``;
    both are arrays of the same length for each column. ``left_out`` counts the other lines;
    ``padded`` says that there are blanks somewhere, ``signed`` that there are plus or minus signs.
    """

    data: NDArray[np.uint8]
    ends: Sequence[Places]
    firsts: Places
    left_out: int
    padded: bool
    signed: bool

    def begins(self, column: int) -> Places:
        """Where the cells of a column begin."""
        return self.ends[column - 1] + 1 if column else self.firsts


@dataclass(frozen=True, slots=True)
class Kind:
    """What a column holds: numbers, or clock times counted from the ordinal ``first_day``."""

    signs: Signs
    is_clock: bool = False
    first_day: int = 0
    period: float = 0.0


def block(raw: bytes, dialect: Dialect, repeated: Sequence[bytes] = ()) -> Block:
    """The cells in whole lines; ``repeated`` are header lines that may stand among them again."""
    import numpy as np

    for line in repeated:
        if line in raw:
            raw = _without(raw, line)
    delimiter = dialect.delimiter
    if b'"' in raw:
        raw, delimiter = _unquoted(raw, delimiter)
    if delimiter == BLANKS:
        raw, delimiter = _GAPS.sub(b"\t", raw).replace(b"\n\t", b"\n").replace(b"\t\n", b"\n"), "\t"
        raw = raw.strip(b"\t")
    if not raw.endswith(b"\n"):
        raw = _ended(raw, delimiter.encode("latin-1"))
    data = np.frombuffer(raw, np.uint8)
    line_end = data == _LINE_END
    places = np.flatnonzero((data == ord(delimiter)) | line_end)
    padded, signed = b" " in raw, b"-" in raw or b"+" in raw
    width = dialect.width
    if len(places) == width * np.count_nonzero(line_end):
        ends = places.reshape(-1, width).T.copy()
        if line_end[ends[-1]].all():
            return Block(data, list(ends), _after(ends[-1]), 0, padded, signed)
    return _uneven(data, places, width, padded, signed)


def whole_cells(blocks: Iterable[bytes]) -> Iterator[bytes]:
    """Blocks of lines that end outside of quotes, as far as quotes are in pairs."""
    rest = b""
    for raw in blocks:
        found = rest + raw if rest else raw
        rest = b""
        if b'"' in found and found.count(b'"') % 2:
            cut = found.rfind(b"\n", 0, found.rfind(b'"')) + 1
            if len(found) - cut <= _LONGEST_CELL:
                found, rest = found[:cut], found[cut:]
        if found:
            yield found
    if rest:
        yield rest


def texts(of: Block, column: int, most: int) -> list[str]:
    """Cells of a column as text, from all over the block."""
    begin, end = of.begins(column), of.ends[column]
    step = max(len(begin) // most, 1)
    return [
        of.data[first:last].tobytes().decode("utf-8", "replace").strip()
        for first, last in zip(begin[::step].tolist(), end[::step].tolist(), strict=True)
    ]


def _ended(raw: bytes, delimiter: bytes) -> bytes:
    """Lines of which the last now has an end; its last cell goes if it looks cut.

    It looks whole if one of the last cells above it has as many decimals and is no longer.
    """
    above, _, last = raw.rpartition(b"\n")
    head, sign, cell = last.rpartition(delimiter)
    lines = above[-_LOOKED_AT:].split(b"\n")[-_LINES_ABOVE:]
    others = [line.rpartition(delimiter)[2] for line in lines]
    whole = any(_shape(other) == _shape(cell) and len(other) <= len(cell) for other in others)
    if whole or not cell:
        return raw + b"\n"
    return b"%b\n%b%b\n" % (above, head, sign) if above else head + sign + b"\n"


def _shape(cell: bytes) -> int:
    """How many characters stand after the last sign between digits, -1 without one."""
    places = [cell.rfind(sign) for sign in b".,:"]
    return len(cell) - max(places) if max(places) >= 0 else -1


def _after(line_ends: Places) -> Places:
    import numpy as np

    firsts = np.empty_like(line_ends)
    firsts[:1] = 0
    firsts[1:] = line_ends[:-1] + 1
    return firsts


def _uneven(
    data: NDArray[np.uint8], places: Places, width: int, padded: bool, signed: bool
) -> Block:
    """The cells of those lines that have as many as they should, or blank ones besides."""
    import numpy as np

    line_ends = np.flatnonzero(data[places] == _LINE_END)
    counts = np.diff(line_ends, prepend=-1)
    firsts = _after(places[line_ends])
    at = line_ends - counts + 1
    # Past the last proper cell there may be delimiters and nothing else.
    last = places[np.minimum(at + width - 1, line_ends)]
    only_blank = places[line_ends] - last == counts - width
    fits = (counts >= width) & only_blank
    empty = (counts == 1) & (places[line_ends] == firsts)
    rows = at[fits]
    ends = [places[rows + column] for column in range(width)]
    return Block(data, ends, firsts[fits], int((~fits & ~empty).sum()), padded, signed)


def _without(raw: bytes, line: bytes) -> bytes:
    """Lines without those that are exactly ``line``."""
    return b"".join(one for one in raw.splitlines(keepends=True) if one.rstrip(b"\n") != line)


def _unquoted(raw: bytes, delimiter: str) -> tuple[bytes, str]:
    """Lines without quotes, and the delimiter that then stands between their cells."""
    if delimiter != BLANKS and _all_quoted(raw, delimiter):
        return raw.translate(None, b'"'), delimiter
    return _taken_apart(raw, delimiter), _PLAIN


def _all_quoted(raw: bytes, delimiter: str) -> bool:
    """Whether every cell stands in quotes and has none of them, nor a delimiter, inside.

    Then there are two quotes for each delimiter or line end, one of them on either side of it.
    """
    import numpy as np

    data = np.frombuffer(raw if raw.endswith(b"\n") else raw + b"\n", np.uint8)
    quote = data == _QUOTE
    between = (data == ord(delimiter)) | (data == _LINE_END)
    if not (quote[0] and quote[-2:-1].all()):
        return False
    if np.count_nonzero(quote) != 2 * np.count_nonzero(between):
        return False
    return not (between[1:-1] > (quote[:-2] & quote[2:])).any()


def _taken_apart(raw: bytes, delimiter: str) -> bytes:
    """Lines whose cells were taken out of their quotes by the csv module."""
    text = raw.decode("latin-1").replace(_PLAIN, "")
    if delimiter == BLANKS:
        text = re.sub(r"[ \t]+", BLANKS, text)
    rows: list[list[str]] = []
    try:
        if text.count('"') % 2 == 0:
            lines = StringIO(text, newline="\n")
            rows = list(csv.reader(lines, delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        rows = []
    if not rows:
        rows = [line.replace('"', "").split(delimiter) for line in text.split("\n") if line]
    made = "".join(_PLAIN.join(row).replace("\n", " ") + "\n" for row in rows)
    return (made if text.endswith("\n") else made[:-1]).encode("latin-1")


def values(of: Block, column: int, kind: Kind) -> Floats:
    """The numbers of a column, NaN where there is none."""
    begin, end = of.begins(column), of.ends[column]
    if of.padded:
        begin, end = _trimmed(of.data, begin, end)
    maker = (
        digits.clock_time(kind.first_day)
        if kind.is_clock
        else digits.decimal(ord(kind.signs.point))
    )
    signed = of.signed and not kind.is_clock
    found, known = digits.numbers(of.data, begin, end, maker, signed)
    if not known.all():
        _slowly(of, kind, begin, end, found=found, known=known)
    return found


def _trimmed(data: NDArray[np.uint8], begin: Places, end: Places) -> tuple[Places, Places]:
    """Cells without the blanks at their ends, as far as these are few."""
    for _ in range(_WIDEST_GAP):
        blank = (data.take(begin, mode="clip") == _BLANK) & (begin < end)
        if not blank.any():
            break
        begin = begin + blank
    for _ in range(_WIDEST_GAP):
        blank = (data.take(end - 1, mode="clip") == _BLANK) & (begin < end)
        if not blank.any():
            break
        end = end - blank
    return begin, end


def _slowly(
    of: Block, kind: Kind, begin: Places, end: Places, *, found: Floats, known: NDArray[np.bool_]
) -> None:
    """Fill in the cells that are written in an unusual way."""
    raw = of.data.tobytes()
    rows = (~known).nonzero()[0]
    places = zip(begin[rows].tolist(), end[rows].tolist(), strict=True)
    cells = [raw[first:last] for first, last in places]
    with_exponents = None if kind.is_clock else _floats(cells, kind.signs.point.encode())
    found[rows] = with_exponents or _one_by_one(cells, kind)


def _floats(cells: Sequence[bytes], point: bytes) -> list[float] | None:
    """Numbers that Python reads, such as those with an exponent; None where one is not so."""
    if point != b".":
        if any(b"." in cell for cell in cells):
            return None
        cells = [cell.replace(point, b".") for cell in cells]
    try:
        values = list(map(float, cells))
    except ValueError:
        return None
    if any(b"_" in cell for cell in cells):
        return None
    return [value if isfinite(value) else NAN for value in values]


def _one_by_one(cells: Sequence[bytes], kind: Kind) -> list[float]:
    kept: dict[bytes, float] = {}
    values = []
    for cell in cells:
        value = kept.get(cell)
        if value is None:
            value = _value(cell, kind)
            if len(kept) < _MOST_KEPT:
                kept[cell] = value
        values.append(value)
    return values


def _value(cell: bytes, kind: Kind) -> float:
    text = cell.decode("utf-8", "replace")
    if is_nothing(text):
        return NAN
    return clock.seconds(text, kind.first_day) if kind.is_clock else number(text, kind.signs)
