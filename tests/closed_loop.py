"""From a fault to a log, to findings, to the cause: ``python -m tests.closed_loop``.

Cars of the bench are driven, their logs read, and what is read is consulted; further checks are
answered by virtual instruments, which know nothing of the knowledge. See docs/closed-loop.md.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict
from functools import cache
from multiprocessing import Pool
from pathlib import Path

from expert.case.consult import Consultant
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from tests.loop.play import Drive, Outcome, driven, outcome
from tests.loop.report import lines
from tests.loop.scenario import SOUND, faults, plans, variation
from tests.loop.truth import Curves, curves, differ

Plan = tuple[str, str | None, int]
# Enough to see that everything works; the figures need more.
QUICK_SETUPS = ("internal-nipple", "external-single")


@cache
def _consultant() -> Consultant:
    return Consultant(load([shipped_folder()]))


def loop(job: tuple[Plan, frozenset[str]]) -> list[Outcome]:
    """All faults on the car of one plan."""
    (setup, gate, number), causes = job
    consultant = _consultant()
    knowledge = consultant.knowledge
    one = variation(knowledge, setup, gate, number)
    as_new = driven(one.sound)
    usual = _curves(as_new)
    cars = [
        (cause, car, broken, as_new if broken is one.sound else driven(broken))
        for cause, car, broken in faults(knowledge, one, causes)
    ]
    logs = {cause: _curves(drive) for cause, car, _, drive in cars if car is one}
    logs.pop(SOUND, None)
    found = []
    for cause, car, broken, drive in cars:
        shape = _curves(drive)
        alike = [name for name, other in logs.items() if name != cause and not differ(shape, other)]
        if car is not one:
            alike = []
        done = outcome(
            consultant,
            car,
            cause,
            broken,
            drive,
            visible=differ(shape, usual),
            alike=tuple(alike),
        )
        found.append(done)
    sys.stderr.write(f"{one.name}: {len(found)} cars\n")
    return found


def _curves(drive: Drive) -> Curves:
    return curves(drive.rows, *([drive.wound_out] if drive.wound_out else []))


def run(
    knowledge: Knowledge,
    setups: list[str],
    causes: frozenset[str],
    count: int,
    jobs: int,
    first: int = 0,
) -> list[Outcome]:
    """Every plan from number ``first`` on, in several processes where that is asked for."""
    earlier = set(plans(knowledge, setups, first))
    wanted = [plan for plan in plans(knowledge, setups, first + count) if plan not in earlier]
    work = [(plan, causes) for plan in wanted]
    found: list[Outcome] = []
    if jobs == 1:
        for job in work:
            found += loop(job)
        return found
    with Pool(jobs) as pool:
        for some in pool.imap_unordered(loop, work):
            found += some
    return sorted(found, key=lambda one: (one.car, one.cause))


def main(arguments: Sequence[str] | None = None) -> int:
    """Drive, read, consult, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.closed_loop", description=__doc__)
    parser.add_argument("--variations", type=int, default=1, help="cars for each setup and gate")
    parser.add_argument("--first", type=int, default=0, help="number of the first of these cars")
    parser.add_argument("--setups", nargs="*", default=[], help="only these setups")
    parser.add_argument("--causes", nargs="*", default=[], help="only these causes")
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument("--quick", action="store_true", help="two setups, one car each")
    parser.add_argument("--out", help="write every car as a line of JSON")
    options = parser.parse_args(arguments)
    knowledge = _consultant().knowledge
    setups = options.setups or (list(QUICK_SETUPS) if options.quick else list(knowledge.setups))
    count = 1 if options.quick else options.variations
    begun = time.monotonic()
    found = run(knowledge, setups, frozenset(options.causes), count, options.jobs, options.first)
    if options.out:
        with Path(options.out).open("w", encoding="utf-8") as file:
            file.writelines(json.dumps(asdict(one)) + "\n" for one in found)
    for line in lines(found):
        sys.stdout.write(line + "\n")
    sys.stderr.write(f"{time.monotonic() - begun:.0f} s\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
