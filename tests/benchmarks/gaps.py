"""Seconds for check, try and gaps over the whole shipped knowledge, together at most 3."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator

from tests.benchmarks.figure import Figure

LIMIT = 3.0
ACTIONS = ("check", "try", "gaps")


def figures() -> Iterator[Figure]:
    total = 0.0
    for action in ACTIONS:
        started = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "expert", "knowledge", action],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=False,
        )
        seconds = time.perf_counter() - started
        total += seconds
        yield Figure(f"knowledge {action}, with start and loading", seconds, "s")
    yield Figure("all three", total, "s", LIMIT)
