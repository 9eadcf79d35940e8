"""Seconds to find all gaps of the shipped knowledge, once it is read.

Beside it the seconds of check, try and gaps, each as a command with start and reading.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from time import perf_counter

from expert.loading.folder import load, shipped_folder
from expert.workbench.gaps import find_gaps
from tests.benchmarks.figure import Figure

LIMIT_SECONDS = 1.0
LIMIT_TOGETHER = 3.0
ROUNDS = 3
ACTIONS = ("check", "try", "gaps")


def figures() -> Iterator[Figure]:
    knowledge = load([shipped_folder()])
    setups = list(knowledge.setups)
    found = find_gaps(knowledge, setups)
    seconds = []
    for _ in range(ROUNDS):
        began = perf_counter()
        find_gaps(knowledge, setups)
        seconds.append(perf_counter() - began)
    note = f"{len(setups)} setups, {len(knowledge.causes)} causes, {len(found)} gaps"
    yield Figure("gaps of the shipped knowledge", min(seconds), "s", LIMIT_SECONDS, note)
    took = {action: _command(action) for action in ACTIONS}
    note = ", ".join(f"{action} {took[action]:.2f} s" for action in ACTIONS)
    yield Figure("check, try and gaps as commands", sum(took.values()), "s", LIMIT_TOGETHER, note)


def _command(action: str) -> float:
    line = [sys.executable, "-m", "expert", "knowledge", action]
    began = perf_counter()
    done = subprocess.run(line, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False)
    seconds = perf_counter() - began
    # What is found may make the code 1; anything above is a command that did not run.
    if done.returncode > 1:
        raise RuntimeError(f"{' '.join(line)}: {done.stderr.decode(errors='replace')}")
    return seconds
