"""Many known cases played at once, on as many processors as there are."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Mapping, Sequence

from expert.model import Knowledge, KnownCase
from expert.workbench.tryout import Outcome, outcomes
from expert.workbench.tryout_quick import QuickConsultant

# Fewer cases are played sooner than other processes are started.
FEW_CASES = 40

Cases = Mapping[str, KnownCase]
Side = tuple[Knowledge, Cases]


def all_outcomes(knowledge: Knowledge, cases: Cases) -> dict[str, Outcome]:
    """The outcome of every case, by id, in their order."""
    return outcomes_of_each([(knowledge, cases)])[0]


def outcomes_of_each(sides: Sequence[Side]) -> list[dict[str, Outcome]]:
    """The same for cases of several states of the knowledge, all at once.

    Where processes cannot be forked safely, which is everywhere but on Linux, one does it all.
    """
    processors = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
    if processors == 1 or sum(len(cases) for _, cases in sides) <= FEW_CASES:
        return [outcomes(QuickConsultant(knowledge), cases) for knowledge, cases in sides]
    found = _by_processes(sides, processors)
    return [{name: found[k, name] for name in cases} for k, (_, cases) in enumerate(sides)]


def _by_processes(sides: Sequence[Side], processors: int) -> dict[tuple[int, str], Outcome]:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    tasks = [(k, group) for k, (_, cases) in enumerate(sides) for group in _alike(cases)]
    tasks.sort(key=lambda task: len(task[1]), reverse=True)
    knowledge = [one for one, _ in sides]
    found: dict[tuple[int, str], Outcome] = {}
    # A forked process has the knowledge already; only cases and outcomes are sent.
    with ProcessPoolExecutor(processors, get_context("fork"), _begin, (knowledge,)) as pool:
        for (k, _), part in zip(tasks, pool.map(_play, tasks), strict=True):
            found.update({(k, name): came for name, came in part.items()})
    return found


def _alike(cases: Cases) -> list[dict[str, KnownCase]]:
    """The cases by setup and complaint, since those share their arrays; the largest group first."""
    groups: defaultdict[tuple[str, str], dict[str, KnownCase]] = defaultdict(dict)
    for name, case in cases.items():
        groups[case.setup, case.symptoms[0]][name] = case
    return sorted(groups.values(), key=len, reverse=True)


_consultants: list[QuickConsultant] = []


def _begin(knowledge: Sequence[Knowledge]) -> None:
    """Make a new process ready; an interrupt is the first process's business."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _consultants[:] = [QuickConsultant(one) for one in knowledge]


def _play(task: tuple[int, dict[str, KnownCase]]) -> dict[str, Outcome]:
    return outcomes(_consultants[task[0]], task[1])
