"""Seconds to read the shipped knowledge and play all its known cases through.

Beside it ratios: what whole consultations take, whose steps also say what every check is worth, and
what one processor takes alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from time import perf_counter

from expert.case.consult import Consultant
from expert.loading.folder import load_with_cases, shipped_folder
from expert.workbench.tryout import misses, outcomes
from expert.workbench.tryout_pool import all_outcomes
from expert.workbench.tryout_quick import QuickConsultant
from tests.benchmarks.figure import Figure

# A half of what check, try and gaps may take together.
LIMIT_SECONDS = 1.5
ROUNDS = 3


def figures() -> Iterator[Figure]:
    seconds, cases, asked = min(_read_and_tried() for _ in range(ROUNDS))
    note = f"{cases} cases, {asked} checks asked"
    yield Figure("read and try the shipped cases", seconds, "s", LIMIT_SECONDS, note)
    knowledge, known, _, _ = load_with_cases([shipped_folder()])
    pooled, quick, whole = [], [], []
    for _ in range(ROUNDS):
        pooled.append(_seconds(lambda: all_outcomes(knowledge, known)))
        quick.append(_seconds(lambda: outcomes(QuickConsultant(knowledge), known)))
        whole.append(_seconds(lambda: outcomes(Consultant(knowledge), known)))
    yield Figure("whole consultations / quick steps", min(whole) / min(quick), "x")
    yield Figure("one processor / all of them", min(quick) / min(pooled), "x")


def _seconds(play: Callable[[], object]) -> float:
    began = perf_counter()
    play()
    return perf_counter() - began


def _read_and_tried() -> tuple[float, int, int]:
    began = perf_counter()
    knowledge, cases, _, _ = load_with_cases([shipped_folder()])
    found = all_outcomes(knowledge, cases)
    for name, case in cases.items():
        misses(knowledge, case, found[name])
    return perf_counter() - began, len(found), sum(len(one.asked) for one in found.values())
