"""Seconds for a verdict on one hook-up after start, and for every way to hose a solenoid."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import permutations

from expert.bench.rig import boost_pa
from tests.bench.test_rig import FOUR, SPRING, THREE, four_port, three_port
from tests.benchmarks.figure import Figure
from tests.evidence.hookup.rigs import judged

DUTIES = (0.0, 0.5, 1.0)


def figures() -> Iterator[Figure]:
    judged("internal-nipple")
    slowest = 0.0
    for hoses in (
        (),
        ("three-port.common=air",),
        ("housing-nipple.nipple=three-port.normally-closed", "three-port.normally-open=air"),
    ):
        started = time.perf_counter()
        judged("internal-nipple", *hoses, bypass="recirculating")
        slowest = max(slowest, time.perf_counter() - started)
    yield Figure("a verdict, slowest of three", slowest, "s", 0.5)
    started = time.perf_counter()
    rigs = [
        *(three_port(*o) for o in permutations(THREE)),
        *(four_port(*o) for o in permutations(FOUR)),
    ]
    for rig in rigs:
        for duty in DUTIES:
            boost_pa(rig, SPRING, duty)
    yield Figure(
        "all arrangements", time.perf_counter() - started, "s", 30.0, f"{len(rigs)} of them"
    )
