"""A ten-second pull on the bench: the car made, the table of its gate worked out, and driven."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter

from expert.bench import gatemap
from expert.bench.pull import Segment, run
from tests.bench.cars import RIGS, car
from tests.benchmarks.figure import Figure

SECONDS = 1.0
PULL_S = 10.0
ROUNDS = 3


def figures() -> Iterator[Figure]:
    for name in ("internal", "upper", "four"):
        whole, driven = min(_once(name) for _ in range(ROUNDS))
        note = f"{driven:.2f} s of it the drive, the rest the table of the gate"
        yield Figure(f"pull of {PULL_S:.0f} s, {name}", whole, "s", SECONDS, note)


def _once(name: str) -> tuple[float, float]:
    """Seconds of all of it with no table at hand, and of the drive alone."""
    assert name in RIGS
    gatemap._made.cache_clear()
    began = perf_counter()
    one = car(name)
    made = one.gate_map()
    ready = perf_counter()
    rows = list(run(one, [Segment("pull", PULL_S, 1.0, 3, (2_000.0, 6_500.0))]))
    assert rows
    assert made.duties
    return perf_counter() - began, perf_counter() - ready
