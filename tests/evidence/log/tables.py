"""Tables of numbers written as loggers write them, for the tests of reading."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from hypothesis import strategies as st

NAMES = ("Time", "RPM", "MAP", "Duty, wastegate", "Throttle", "Lambda", "Speed")
UNITS = ("s", "1/min", "kPa", "%", "%", "", "km/h")
PREAMBLES = (
    (),
    ("Invented logger",),
    ("Invented logger", "Date of the run: 1 May", "", "Comment: 3rd gear, hot"),
    tuple(f"setting {k} = {k * 7}" for k in range(40)),
)


@dataclass(frozen=True)
class Written:
    """How a table is written."""

    delimiter: str = ","
    point: str = "."
    preamble: tuple[str, ...] = ()
    units: str = "brackets"  # none, brackets, round, row
    quoting: str = "needed"  # needed, all
    newline: str = "\n"
    encoding: str = "utf-8"
    ended: bool = True


def text(rows: Sequence[Sequence[str]], how: Written) -> str:
    """Rows of cells as the text of a file, with as many columns as the rows have."""
    width = len(rows[0])
    names, units = list(NAMES[:width]), list(UNITS[:width])
    if how.units == "brackets":
        names = [
            f"{name} [{unit}]" if unit else name for name, unit in zip(names, units, strict=True)
        ]
    if how.units == "round":
        names = [
            f"{name} ({unit})" if unit else name for name, unit in zip(names, units, strict=True)
        ]
    header = [names, units] if how.units == "row" else [names]
    stream = io.StringIO(newline="")
    quoting = csv.QUOTE_ALL if how.quoting == "all" else csv.QUOTE_MINIMAL
    writer = csv.writer(
        stream, delimiter=how.delimiter, quoting=quoting, lineterminator=how.newline
    )
    writer.writerows(header)
    writer.writerows([[cell.replace(".", how.point) for cell in row] for row in rows])
    whole = "".join(line + how.newline for line in how.preamble) + stream.getvalue()
    return whole if how.ended else whole.removesuffix(how.newline)


def data(rows: Sequence[Sequence[str]], how: Written) -> bytes:
    """The bytes of such a file; the encodings utf-8-sig and utf-16 write their mark."""
    return text(rows, how).encode(how.encoding)


ways = st.builds(
    Written,
    delimiter=st.sampled_from([",", ";", "\t", "|"]),
    point=st.sampled_from([".", ","]),
    preamble=st.sampled_from(PREAMBLES),
    units=st.sampled_from(["none", "brackets", "round", "row"]),
    quoting=st.sampled_from(["needed", "all"]),
    newline=st.sampled_from(["\n", "\r\n", "\r"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"]),
    ended=st.booleans(),
)


def cells(decimals: int | None) -> st.SearchStrategy[str]:
    """Numbers as text: with so many decimals, or as Python writes them at all."""
    numbers = st.floats(-9_999, 99_999, allow_nan=False)
    return numbers.map(repr if decimals is None else f"{{:.{decimals}f}}".format)


@st.composite
def tables(draw: st.DrawFn) -> list[list[str]]:
    """Rows of equal length, each column with decimals of its own."""
    columns = [
        cells(draw(st.sampled_from([0, 1, 2, 3, None])))
        for _ in range(draw(st.integers(2, len(NAMES))))
    ]
    return draw(st.lists(st.tuples(*columns).map(list), min_size=3, max_size=20))
