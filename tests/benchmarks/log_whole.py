"""Reading and measuring a log of a million rows, against a table library that only parses it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pandas as pd

from expert.evidence.log.features import measure
from expert.evidence.log.record import Features
from expert.evidence.log.recording import record
from expert.evidence.log.sheet import open_log
from tests.benchmarks.figure import Figure
from tests.benchmarks.log_measure import write_million
from tests.benchmarks.peaked import peak_bytes
from tests.benchmarks.ratio import processor_seconds, ratio, seconds
from tests.evidence.log.benchlogs import KNOWN, SPRING_KPA

CAUSES = ("", "loop-aggressive", "signal-off")
RUNS = 5
_MEASURED = (
    "from pathlib import Path; import sys; "
    "from tests.benchmarks.log_whole import read_and_measured as run; "
    "run(Path(sys.argv[1])) if len(sys.argv) > 1 else None"
)


def read_and_measured(path: Path) -> Features:
    """All that is done with a log before it is judged."""
    return measure(record(open_log(path), KNOWN.channels), SPRING_KPA, True)


def figures() -> Iterator[Figure]:
    with tempfile.TemporaryDirectory() as name:
        for cause in CAUSES:
            path = Path(name) / f"{cause or 'sound'}.csv"
            write_million(path, cause)

            def ours(path: Path = path) -> Features:
                return read_and_measured(path)

            def other(path: Path = path) -> pd.DataFrame:
                return pd.read_csv(path)

            note = f"{path.stat().st_size / 1e6:.0f} MB, pandas {pd.__version__}"
            what = f"read and measure a million rows, {cause or 'sound'} / pandas.read_csv"
            yield ratio(seconds(ours), seconds(other), RUNS).figure(what, 3.0, note)
            found = ratio(processor_seconds(ours), processor_seconds(other), RUNS)
            yield found.figure("the same in processor time")
        added = _peak(Path(name), path) - _peak(Path(name))
        yield Figure("memory for it / the file", added / path.stat().st_size, "x", 4.0)


def _peak(folder: Path, *paths: Path) -> int:
    """Peak memory in bytes of a process that reads and measures these files."""
    return peak_bytes(folder, ["-c", _MEASURED, *map(str, paths)])
