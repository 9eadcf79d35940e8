"""Learning from 100,000 journals: time and peak memory of the whole command.

The journals are those of a thousand invented cars, told a hundred times each at other times, so
that no two are the same.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from subprocess import DEVNULL, run
from tempfile import TemporaryDirectory
from time import perf_counter

from expert.case.events import encode
from expert.loading.folder import load, shipped_folder
from tests.benchmarks.figure import Figure
from tests.workbench.journals import drawn

JOURNALS = 100_000
_CARS = 1000
_LIMIT_S = 240.0
_LIMIT_MB = 300.0


def figures() -> Iterator[Figure]:
    with TemporaryDirectory() as folder:
        cases = Path(folder, "cases")
        size = _write(cases)
        out = Path(folder, "peak")
        command = [sys.executable, "-m", "expert", "knowledge", "learn", str(cases)]
        command += ["--out", str(Path(folder, "learned"))]
        measured = [sys.executable, "-m", "tests.benchmarks.peak", str(out), *command]
        begun = perf_counter()
        run(measured, check=True, stdout=DEVNULL, env={**os.environ, "OPENBLAS_NUM_THREADS": "1"})
        seconds = perf_counter() - begun
        peak_mb = int(out.read_text(encoding="ascii")) / 1e6
    each = f"{1e6 * seconds / JOURNALS:.0f} us a journal, {size / 1e6:.0f} MB of journals"
    yield Figure("learning from 100,000 journals", seconds, "s", _LIMIT_S, each)
    yield Figure("its peak memory", peak_mb, "MB", _LIMIT_MB)


def _write(cases: Path) -> int:
    """The journals in folders of a thousand; their bytes altogether."""
    knowledge = load([shipped_folder()])
    kinds = [
        (setup, symptom)
        for setup, layout in knowledge.setups.items()
        if not layout.gates
        for symptom in knowledge.symptoms
    ]
    share = -(-_CARS // len(kinds))
    stories = [
        story
        for k, (setup, symptom) in enumerate(kinds)
        for story in drawn(knowledge, knowledge.digest, setup, symptom, share, k)
    ]
    total = 0
    for k, story in enumerate(islice(stories, _CARS)):
        inside = cases / f"{k:04}"
        inside.mkdir(parents=True)
        for day in range(JOURNALS // _CARS):
            time = f"{2000 + day}-05-04T{k // 60:02}:{k % 60:02}:30+02:00"
            text = "".join(f"{json.dumps(encode(event, time))}\n" for event in story)
            total += (inside / f"{day:03}.case.jsonl").write_text(text, encoding="utf-8")
    return total
