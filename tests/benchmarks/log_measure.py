"""Measuring a log of a million rows, against reading the same rows from their file."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import numpy as np

from expert.evidence.log.features import measure
from expert.evidence.log.record import Recording
from expert.evidence.log.recording import record
from expert.evidence.log.sheet import open_log
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import ratio, seconds
from tests.evidence.log.benchlogs import KNOWN, SPRING_KPA, text

ROWS = 1_000_000
CAUSES = ("", "loop-aggressive", "signal-off")
RUNS = 3


def figures() -> Iterator[Figure]:
    for cause in CAUSES:
        with tempfile.TemporaryDirectory() as name:
            path = Path(name) / "million.csv"
            write_million(path, cause)

            def read(path: Path = path) -> Recording:
                return record(open_log(path), KNOWN.channels)

            recording = read()
            assert recording.time_s.size == ROWS
            pulls = len(measure(recording, SPRING_KPA, True).pulls)
            found = ratio(
                seconds(lambda whole=recording: measure(whole, SPRING_KPA, True)),
                seconds(read),
                RUNS,
            )
            note = f"{pulls} pulls; {path.stat().st_size / 1e6:.0f} MB"
            what = f"measure a million rows, {cause or 'sound'} / read them"
            yield found.figure(what, 1.0, note)
    yield _memory()


def write_million(path: Path, cause: str) -> None:
    """The log of a session, over and over, its clock running on."""
    head, *lines = text(cause).splitlines()
    rests = [line.partition(",")[2] for line in lines]
    with path.open("w", encoding="utf-8") as stream:
        stream.write(head + "\n")
        endless = (rest for _ in iter(int, 1) for rest in rests)
        for number, rest in enumerate(islice(endless, ROWS)):
            stream.write(f"{0.05 * number:.2f},{rest}\n")


def _memory() -> Figure:
    """What measuring takes besides the recording, in shares of the recording."""
    import tracemalloc

    draw = np.random.default_rng(1)
    time = np.arange(ROWS) / 20.0
    pulling = (time % 20.0) < 10.0
    boost = np.where(pulling, 69.0, -60.0) + draw.normal(0.0, 0.5, ROWS)
    values = {
        "boost": boost,
        "rpm": np.where(pulling, 2_000.0 + 450.0 * (time % 20.0), 2_000.0),
        "pedal": np.where(pulling, 100.0, 0.0),
        "throttle": np.where(pulling, 100.0, 0.0),
        "duty": np.zeros(ROWS),
        "speed": np.where(pulling, 40.0 + 9.0 * (time % 20.0), 40.0),
    }
    whole = Recording("made.csv", time, values, ())
    size = time.nbytes + sum(found.nbytes for found in values.values())
    tracemalloc.start()
    measure(whole, SPRING_KPA, True)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return Figure("memory to measure a million rows / the rows", peak / size, "x", 2.0)
