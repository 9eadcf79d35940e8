"""Reading a log of a million rows and twelve columns, and the memory that it takes.

Against `pandas.read_csv` with its C parser, which merely parses the same file, in the same run.
Ours opens the file, finds out how it is written, and turns the eight columns that are needed into
arrays. Without pandas, which the extra test brings, only our time is printed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from expert.evidence.log.sheet import open_log
from tests.benchmarks.figure import Figure
from tests.benchmarks.peaked import peak_bytes
from tests.benchmarks.ratio import best, ratio, seconds

ROWS = 1_000_000
NEEDED = range(8)
RUNS = 5
_LIMIT = 3.0
_MEMORY_LIMIT = 4.0
_HEADER = (
    "Time (s),Engine speed (rpm),MAP (kPa),Barometer (kPa),Boost target (kPa),Wastegate duty (%),"
    "Throttle (%),Pedal (%),Vehicle speed (km/h),Gear,Lambda,Intake temperature (C)\n"
)
_FORMATS = ("%.3f", "%.0f", *["%.1f"] * 7, "%.0f", "%.3f", "%.1f")


def figures() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        plain = Path(folder, "plain.csv")
        _write(plain)
        for what, path, options in _ways(plain):
            yield _time(f"a million rows, {what}", path, options)
            yield _memory(f"memory for them, {what}", path)


def _write(path: Path) -> None:
    """Random numbers in the ranges of a log; the same in every run."""
    draw = np.random.default_rng(1)
    step = ROWS // 20
    line = ",".join(_FORMATS) + "\n"
    low = np.array([0, 800, 30, 99, 100, 0, 0, 0, 0, 1, 0.7, 10.0])
    high = np.array([0, 7000, 250, 101, 200, 100, 100, 100, 250, 6, 1.3, 60.0])
    with path.open("w", encoding="ascii") as stream:
        stream.write(_HEADER)
        for first in range(0, ROWS, step):
            rows = draw.uniform(low, high, (step, len(low)))
            rows[:, 0] = 0.05 * np.arange(first, first + step)
            stream.writelines(line % tuple(row) for row in rows.tolist())


def _ways(plain: Path) -> Iterator[tuple[str, Path, dict[str, str]]]:
    """The same file written in other ways, each with what pandas must be told of it."""
    yield "plain", plain, {}
    text = plain.read_bytes()
    comma = plain.with_name("comma.csv")
    comma.write_bytes(text.replace(b",", b";").replace(b".", b",").replace(b"\n", b"\r\n"))
    yield "semicolons, decimal commas, CRLF", comma, {"sep": ";", "decimal": ","}
    quoted = plain.with_name("quoted.csv")
    quoted.write_bytes(b'"' + text.replace(b",", b'","').replace(b"\n", b'"\n"')[:-1])
    yield "all quoted", quoted, {}


def _ours(path: Path) -> Callable[[], object]:
    return lambda: open_log(path).columns(NEEDED)


def _time(what: str, path: Path, options: dict[str, str]) -> Figure:
    if not find_spec("pandas"):
        print("  pandas is not installed, so there is nothing to compare with: pip install pandas")
        taken = best(seconds(_ours(path)), RUNS)
        return Figure(what, taken, "s")
    from pandas import read_csv

    found = ratio(
        seconds(_ours(path)), seconds(lambda: read_csv(path, engine="c", **options)), RUNS
    )
    return found.figure(f"{what} / pandas.read_csv", _LIMIT)


_OPENED = """
import sys
from pathlib import Path
import numpy
from expert.evidence.log.sheet import open_log
sheet = open_log(Path(sys.argv[1]))
"""
_READ = _OPENED + "kept = sheet.columns(range(8))"


def _memory(what: str, path: Path) -> Figure:
    """By how much reading the columns raises the peak of a process, in sizes of the file."""
    opened, read = (peak_bytes(path.parent, ["-c", code, str(path)]) for code in (_OPENED, _READ))
    size = path.stat().st_size
    note = f"{opened / 1e6:.0f} MB with the file opened, {read / 1e6:.0f} MB with its columns"
    return Figure(what, (read - opened) / size, "x the file", _MEMORY_LIMIT, note, digits=3)
