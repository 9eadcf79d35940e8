"""Log files opened: names and units at once, columns when they are asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Final

from expert.evidence.log import clock, dialect, source, table
from expert.evidence.log.errors import LogError
from expert.evidence.log.growing import Growing
from expert.evidence.log.record import Header, Sheet
from expert.text import clean

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

# How much of a large file is looked at to judge it: so many pieces of so many bytes.
_PIECES: Final = 16
_PIECE: Final = 1 << 16
_JUDGED: Final = 60_000
_FEWEST_LINES: Final = 8
_MOST_COLUMNS: Final = 20_000
_LEAST_KEPT: Final = 0.5
_ONE_COLUMN: Final = "has one column only; expected time, boost and others side by side."


def open_log(path: Path) -> Sheet:
    """Open a log file, as text or as ASAM MDF. Raises LogError for what cannot be read."""
    found = source.from_path(path)
    return _opened(found)


def open_bytes(name: str, data: bytes) -> Sheet:
    """Open a log that is at hand, such as an attachment. Raises LogError as `open_log` does."""
    return _opened(source.from_bytes(name, data))


def _opened(found: source.Source) -> Sheet:
    if found.encoding == source.MDF:
        from expert.evidence.log.mdf import MdfSheet

        return MdfSheet(found)
    return TextSheet(found)


class TextSheet:
    """A table of text; see `Sheet`. ``notes`` grow by what reading the columns brings to light."""

    def __init__(self, found: source.Source) -> None:
        self.file = clean(found.file)
        self._source = found
        self._pieces = _pieces(found)
        lines = _judged(found, self._pieces)
        self._dialect = _dialect(found, lines)
        self._top = dialect.top(_lines(found), self._dialect)
        self._refuse_other_width(lines)
        self.headers: Sequence[Header] = self._top.headers
        if len(self.headers) < 2:
            raise LogError(found.file, _ONE_COLUMN)
        self._repeated = [line.encode(_plain(found), "replace") for line in self._top.repeated]
        self._sampled: list[table.Block] | None = None
        self._kinds: dict[int, table.Kind] = {}
        self.notes: list[str] = []
        if not self._top.named:
            self.notes.append(
                "The file has no header; its columns are called column 1 to "
                f"column {len(self.headers)}."
            )

    def sample(self, column: int) -> Floats:
        """The values of a column in pieces from the whole file, up to about a megabyte of it."""
        import numpy as np

        kind = self._kind(column)
        parts = [table.values(block, column, kind) for block in self._sample()]
        return clock.unwrapped(np.concatenate(parts), kind.period)

    def columns(self, wanted: Sequence[int]) -> list[Floats]:
        """The whole columns, all of the same length. Raises LogError for a file of uneven lines."""
        kinds = [self._kind(column) for column in wanted]
        whole = Growing(len(wanted))
        left_out = kept = done = 0
        for raw in self._raw():
            block = self._block(raw)
            done += len(raw)
            share = done / self._source.size
            whole.add([table.values(block, *one) for one in zip(wanted, kinds, strict=True)], share)
            kept += len(block.firsts)
            left_out += block.left_out
        self._judge(kept, left_out)
        columns = whole.taken()
        for number, kind in enumerate(kinds):
            columns[number] = clock.unwrapped(columns[number], kind.period)
        return columns

    def _raw(self) -> Iterator[bytes]:
        """The lines of the whole file in blocks, without what stands above the numbers."""
        return table.whole_cells(_skipped(self._source.blocks(), self._top.lines))

    def _block(self, raw: bytes) -> table.Block:
        return table.block(raw, self._dialect, self._repeated)

    def _sample(self) -> list[table.Block]:
        if self._sampled is None:
            if self._source.size <= _PIECES * _PIECE:
                self._sampled = [self._block(raw) for raw in self._raw()]
            else:
                self._sampled = [self._block(raw) for raw in _in_fours(self._pieces) if raw]
        return self._sampled

    def _kind(self, column: int) -> table.Kind:
        """Whether a column holds clock times, judged by the sample."""
        kind = self._kinds.get(column)
        if kind is None:
            cells = [
                cell for block in self._sample()[:4] for cell in table.texts(block, column, 100)
            ]
            kind = self._kinds[column] = _kind(cells, self._dialect)
        return kind

    def _judge(self, kept: int, left_out: int) -> None:
        if not kept:
            raise LogError(self.file, "has no line that fits its table. Export the log again.")
        if not left_out:
            return
        if kept < _LEAST_KEPT * (kept + left_out):
            raise LogError(
                self.file,
                f"{left_out} of {kept + left_out} lines do not have {self._dialect.width} cells; "
                "expected a table. Export the log again.",
            )
        lines = "1 line" if left_out == 1 else f"{left_out} lines"
        note = f"{lines} with too few or too many cells left out."
        if note not in self.notes:
            self.notes.append(note)

    def _refuse_other_width(self, lines: Sequence[str]) -> None:
        """A decimal comma between commas cannot be told from them."""
        if self._top.named or self._dialect.delimiter != ",":
            return
        if len(self._top.headers) % 2 == 0 and self._top.lines:
            half = len(self._top.headers) // 2
            last = _last_above(self._source, self._top.lines)
            if len(dialect.split(last, ",")) == half and half >= 1 and "," in last:
                raise LogError(
                    self.file,
                    f"has {half} names but {2 * half} numbers in a line, as if commas were both "
                    "decimal signs and delimiters. Export it with semicolons or decimal points.",
                )


def _last_above(found: source.Source, lines: int) -> str:
    last = ""
    for number, line in enumerate(_lines(found)):
        if number >= lines:
            break
        if line.strip():
            last = line
    return last


def _plain(found: source.Source) -> str:
    return "utf-8" if found.encoding.startswith("utf-16") else found.encoding


def _pieces(found: source.Source) -> list[bytes]:
    """Lines from all over the file; the first piece from its beginning."""
    if found.size <= _PIECES * _PIECE:
        return [found.piece(0, found.size)]
    if not found.piece(0, _PIECE):
        # Lines so long that few of them say enough, or without an end.
        wide = found.piece(0, 2 * source.LONGEST_LINE)
        if not wide:
            for _ in found.blocks():
                break
        return [wide, found.piece(found.size // 2, 2 * source.LONGEST_LINE)]
    last = found.size - _PIECE
    return [found.piece(at * last // (_PIECES - 1), _PIECE) for at in range(_PIECES)]


def _in_fours(pieces: Sequence[bytes]) -> Sequence[bytes]:
    """Some pieces as one, which is quicker; not where a quote in one could go on in another."""
    if any(b'"' in piece for piece in pieces):
        return pieces
    return [b"".join(pieces[at : at + 4]) for at in range(0, len(pieces), 4)]


def _judged(found: source.Source, pieces: Sequence[bytes]) -> list[str]:
    """Some lines of the file to judge its dialect by, a bounded number of characters."""
    if len(pieces) > 1:
        # The last lines too: what stands above the numbers may be longer than they are.
        ending = found.text(pieces[-1])[-_JUDGED // 8 :].split("\n")[1:]
        return ending + [line for piece in pieces for line in _some(found.text(piece), len(pieces))]
    text = found.text(pieces[0])
    if len(text) <= _JUDGED:
        return text.split("\n")
    # The ends of the text and its middle.
    middle = text.find("\n", len(text) // 2) + 1
    last = text.find("\n", len(text) - _JUDGED // 3) + 1
    return [line for at in (0, middle, last) for line in _some(text[at:], 3)]


def _some(text: str, parts: int) -> list[str]:
    """The first lines of a text, in all parts together about as much as is judged."""
    lines = text[: 2 * source.LONGEST_LINE].split("\n")
    taken, size = 0, 0
    while taken < len(lines) and (taken < _FEWEST_LINES or size < _JUDGED // parts):
        size += len(lines[taken]) + 1
        taken += 1
    return lines[:taken]


def _dialect(found: source.Source, lines: Sequence[str]) -> dialect.Dialect:
    recognised = dialect.recognised(lines)
    if recognised is None:
        filled = [line for line in lines if line.strip(" \t,;|")]
        if not filled:
            raise LogError(
                found.file, "holds only blanks; expected a table with a header and numbers."
            )
        if sum(any(map(str.isdigit, line)) for line in filled) > len(filled) / 2 and all(
            len(line.split()) == 1 for line in filled[-3:]
        ):
            raise LogError(found.file, _ONE_COLUMN)
        raise LogError(
            found.file, "has no table of numbers; expected a header and lines of numbers."
        )
    if recognised.width > _MOST_COLUMNS:
        raise LogError(
            found.file,
            f"has {recognised.width} columns; expected at most {_MOST_COLUMNS}.",
        )
    return recognised


def _lines(found: source.Source) -> Iterator[str]:
    """The lines of a file as text, only as far as they are asked for."""
    blocks = (found.text(block).split("\n") for block in found.blocks())
    for lines in blocks:
        yield from lines[:-1] if not lines[-1] else lines


def _skipped(blocks: Iterator[bytes], lines: int) -> Iterator[bytes]:
    """Blocks without the first so many lines."""
    for block in blocks:
        count = block.count(b"\n")
        if lines > count:
            lines -= count
            continue
        begin = 0
        for _ in range(lines):
            begin = block.index(b"\n", begin) + 1
        yield from chain([block[begin:]] if begin < len(block) else [], blocks)
        return


def _kind(cells: Sequence[str], written: dialect.Dialect) -> table.Kind:
    filled = [cell for cell in cells if cell]
    clocks = [cell for cell in filled if clock.is_clock(cell)]
    if 2 * len(clocks) <= len(filled) or not clocks:
        return table.Kind(written.signs)
    first_day = next((found for cell in clocks if (found := clock.day(cell))), 0)
    return table.Kind(written.signs, True, first_day, clock.period(clocks))
