"""Many known cases played at once, on as many processors as there are."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Mapping

from expert.model import Knowledge, KnownCase
from expert.workbench.tryout import Outcome, outcomes
from expert.workbench.tryout_quick import QuickConsultant

# Fewer cases are played sooner than other processes are started.
FEW_CASES = 40

Cases = Mapping[str, KnownCase]


def all_outcomes(knowledge: Knowledge, cases: Cases) -> dict[str, Outcome]:
    """The outcome of every case, by id, in their order.

    Where processes cannot be forked safely, which is everywhere but on Linux, one does it all.
    """
    processors = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
    if processors == 1 or len(cases) <= FEW_CASES:
        return outcomes(QuickConsultant(knowledge), cases)
    found = _by_processes(knowledge, cases, processors)
    return {name: found[name] for name in cases}


def _by_processes(knowledge: Knowledge, cases: Cases, processors: int) -> dict[str, Outcome]:
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    found: dict[str, Outcome] = {}
    # A forked process has the knowledge already; only cases and outcomes are sent.
    with ProcessPoolExecutor(processors, get_context("fork"), _begin, (knowledge,)) as pool:
        for part in pool.map(_play, _alike(cases)):
            found.update(part)
    return found


def _alike(cases: Cases) -> list[dict[str, KnownCase]]:
    """The cases by setup and complaint, since those share their arrays; the largest group first."""
    groups: defaultdict[tuple[str, str], dict[str, KnownCase]] = defaultdict(dict)
    for name, case in cases.items():
        groups[case.setup, case.symptoms[0]][name] = case
    return sorted(groups.values(), key=len, reverse=True)


_consultants: list[QuickConsultant] = []


def _begin(knowledge: Knowledge) -> None:
    """Make a new process ready; an interrupt is the first process's business."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _consultants[:] = [QuickConsultant(knowledge)]


def _play(cases: dict[str, KnownCase]) -> dict[str, Outcome]:
    return outcomes(_consultants[0], cases)
