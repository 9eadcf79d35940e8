"""How a table is written: delimiter, number of cells, signs of numbers, header and units.

The lines of numbers are judged first, wherever in the file they stand; then the header is looked
for above the first of them, however much text stands before it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import isnan
from typing import Final

from expert.evidence.log.cells import Signs, is_nothing, number, signs_of
from expert.evidence.log.clock import is_clock
from expert.evidence.log.headings import bare, distinct, heading, is_unit_row
from expert.evidence.log.record import Header

# Any run of blanks, for tables that are aligned by them.
BLANKS: Final = " "
# In the order in which they win when nothing else tells.
_DELIMITERS: Final = ("\t", ";", "|", ",", BLANKS, "^", "~", "!", "&", "#", "\x1f", "\x1e")
_MOST_JOINED: Final = 20
_LEAST_NUMBERS: Final = 0.3
_NEARLY_ALL: Final = 0.8
_HEADER_LINES: Final = 8
_WIDE_GAP: Final = re.compile(r"\t|\s{2,}")
_ANY_GAP: Final = re.compile(r"\s+(?![\[(])")


@dataclass(frozen=True, slots=True)
class Dialect:
    """``width`` is how many cells a line of numbers has, the last ``blank`` of them empty."""

    delimiter: str
    width: int
    signs: Signs
    blank: int = 0


@dataclass(frozen=True, slots=True)
class Top:
    """What stands above the numbers.

    ``lines`` is how many lines of the file that is, ``repeated`` those of its header as they are
    written, and ``named`` whether there is one at all.
    """

    headers: tuple[Header, ...]
    lines: int
    named: bool
    repeated: tuple[str, ...] = ()


@dataclass(slots=True)
class _Table:
    """Lines of the same width under one delimiter."""

    width: int
    lines: list[list[str]] = field(default_factory=list)
    numbers: int = 0
    filled: int = 0

    @property
    def worth(self) -> tuple[bool, float]:
        """Nearly all cells of a log are numbers; a text before it may have some in many lines."""
        share = self.numbers / max(self.filled, 1)
        return share >= _NEARLY_ALL, self.numbers * share


def split(line: str, delimiter: str) -> list[str]:
    """The cells of a line, without the quotes and blanks round them."""
    if delimiter == BLANKS:
        if '"' not in line:
            return line.split()
        line = " ".join(line.split())
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    try:
        rows = list(csv.reader([line], delimiter=delimiter, skipinitialspace=True))
    except csv.Error:
        rows = []
    if len(rows) != 1:
        return [cell.strip().strip('"') for cell in line.split(delimiter)]
    return [cell.strip() for cell in rows[0]]


def joined(lines: Iterable[str]) -> Iterator[tuple[str, int]]:
    """Lines, those of one quoted cell as one, each with how many lines of the file it was."""
    waiting: list[str] = []
    for line in lines:
        if waiting:
            waiting.append(line)
            if line.count('"') % 2:
                yield "\n".join(waiting), len(waiting)
                waiting = []
            elif len(waiting) > _MOST_JOINED:
                # No cell goes over so many lines: the quote was a stray one.
                yield from ((one, 1) for one in waiting)
                waiting = []
        elif line.count('"') % 2:
            waiting = [line]
        else:
            yield line, 1
    yield from ((one, 1) for one in waiting)


def recognised(lines: Sequence[str]) -> Dialect | None:
    """How the numbers in these lines are written, or None where there is no table of numbers."""
    best: _Table | None = None
    delimiter = ""
    whole = [line for line, _ in joined(lines) if line.strip()]
    for candidate in _DELIMITERS:
        if candidate != BLANKS and not any(candidate in line for line in whole):
            continue
        table = _table(whole, candidate)
        if table is not None and (best is None or table.worth > best.worth):
            best, delimiter = table, candidate
    if best is None:
        return None
    columns = [list(column) for column in zip(*best.lines, strict=True)]
    blank = 0
    while not any(columns[-1 - blank]):
        blank += 1
    return Dialect(
        delimiter, best.width, signs_of([_no_clock(column) for column in columns]), blank
    )


def _no_clock(column: list[str]) -> list[str]:
    return [cell for cell in column if ":" not in cell]


def _table(lines: Sequence[str], delimiter: str) -> _Table | None:
    """The lines of one width that hold the most numbers; None when no line has two cells."""
    tables: dict[int, _Table] = {}
    for line in lines:
        cells = split(line, delimiter)
        if len(cells) < 2:
            continue
        numbers = sum(map(_numeric, cells))
        filled = sum(bool(cell) and not is_nothing(cell) for cell in cells)
        if not numbers or numbers < _LEAST_NUMBERS * filled:
            continue
        table = tables.setdefault(len(cells), _Table(len(cells)))
        table.lines.append(cells)
        table.numbers += numbers
        table.filled += filled
    return max(tables.values(), key=lambda table: table.worth, default=None)


_NUMERIC: Final = re.compile(
    r"[+\-\u2212]?(?:\d[\d.,' \u00a0\u2009\u202f]*|[.,]\d+)(?:[eE][+-]?\d+)?", re.A
)
_SEVERAL: Final = re.compile(r"\d\s+\d{1,2}(?!\d)|\d\s+\d{4}|\s[.,]|[.,]\s|[.,]{2}")


def _numeric(cell: str) -> bool:
    """Whether a cell looks like one number or a time, whichever the decimal sign."""
    digits = cell.replace(".", "", 1)
    if digits.isascii() and digits.isdigit():
        return True
    if _NUMERIC.fullmatch(cell):
        return _SEVERAL.search(cell) is None and (cell.count(",") < 2 or _one_number(cell))
    if not cell or not cell[0].isdigit():
        return False
    if is_clock(cell):
        return True
    return (cell[-1].isalpha() or cell[-1] == "%") and not isnan(number(cell, Signs()))


_GROUPS: Final = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?", re.A)


def _one_number(cell: str) -> bool:
    return _GROUPS.fullmatch(cell) is not None


def is_data(cells: Sequence[str], dialect: Dialect) -> bool:
    """Whether a line holds numbers rather than names."""
    numbers = sum(map(_numeric, cells))
    filled = sum(bool(cell) and not is_nothing(cell) for cell in cells)
    fits = len(cells) == dialect.width or (
        len(cells) > dialect.width and not any(cells[dialect.width :])
    )
    return fits and numbers > 0 and numbers >= _LEAST_NUMBERS * filled


def top(lines: Iterable[str], dialect: Dialect) -> Top:
    """The header and all that stands above the first line of numbers."""
    above: list[tuple[str, list[str]]] = []
    count = 0
    for line, height in joined(lines):
        cells = split(line, dialect.delimiter)
        if is_data(cells, dialect):
            return _top(above, count, dialect)
        count += height
        if line.strip():
            above = [*above[-_HEADER_LINES:], (line, cells)]
    return _top(above, count, dialect)


def _top(above: Sequence[tuple[str, list[str]]], count: int, dialect: Dialect) -> Top:
    rows = []
    for line, cells in reversed(above):
        fitted = _fitted(line, cells, dialect)
        if fitted is None:
            break
        rows.append((line, fitted))
    rows.reverse()
    at, units = _names_and_units([cells for _, cells in rows])
    if at is None:
        empty = (Header("", ""),) * (dialect.width - dialect.blank)
        return Top(distinct(empty), count, named=False)
    headers = [heading(cell) for cell in rows[at][1]]
    if units is not None:
        headers = [
            Header(header.name, bare(unit) or header.unit)
            for header, unit in zip(headers, rows[units][1], strict=True)
        ]
    for _ in range(dialect.blank):
        # Every line ends in a delimiter, and no column is behind it.
        if headers[-1] == Header("", ""):
            headers.pop()
    repeated = tuple(line for line, _ in rows[min(at, units if units is not None else at) :])
    return Top(distinct(headers), count, named=True, repeated=repeated)


def _names_and_units(rows: Sequence[list[str]]) -> tuple[int | None, int | None]:
    """Which row has the names and which the units; the last rows count, others are preamble."""
    if not rows:
        return None, None
    units = next((at for at in reversed(range(len(rows))) if is_unit_row(rows[at])), None)
    if units is None or len(rows) == 1:
        return _names(rows, len(rows)), None
    if units:
        return _names(rows, units), units
    return units + 1, units


def _names(rows: Sequence[list[str]], before: int) -> int:
    """The last row in which the cells differ, as names do and types of data do not."""
    for at in reversed(range(before)):
        filled = [cell for cell in rows[at] if cell]
        if 2 * len(set(filled)) > len(filled) > 1:
            return at
    return before - 1


def _fitted(line: str, cells: list[str], dialect: Dialect) -> list[str] | None:
    """The cells of a header line for the columns of numbers, or None if it is no such line."""
    width = dialect.width
    line = line.strip().lstrip("#%").strip()
    if dialect.delimiter == BLANKS:
        tries = [_WIDE_GAP.split(line), _ANY_GAP.split(line), line.split()]
        return next((found for found in tries if len(found) == width), None)
    if cells and cells[0].lstrip("#%").strip() != cells[0]:
        cells = [cells[0].lstrip("#%").strip(), *cells[1:]]
    if not any(cells[width:]):
        cells = cells[:width]
    filled = sum(map(bool, cells))
    if len(cells) < 2 or not filled or len(cells) > width or len(cells) < 0.75 * width:
        return None
    return cells + [""] * (width - len(cells))
