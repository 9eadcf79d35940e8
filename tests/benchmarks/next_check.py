"""The next check on the shipped knowledge: belief, every check's value, and the choice.

For every setup and complaint, at the beginning of the case, when most checks are still open. The
arrays of the car are made once a case and again when its history is told; the first choice, which
includes them, is reported beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median

from expert.case.consult import Consultant
from expert.case.state import fold
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import best, seconds
from tests.benchmarks.shipped import cars, knowledge

_LIMIT_MS = 10.0


def figures() -> Iterator[Figure]:
    first_ms, next_ms = {}, {}
    for name, events in cars():
        state = fold(events)
        consultant = Consultant(knowledge())
        choose = seconds(lambda: consultant.consult(state).step)  # noqa: B023 (used at once)
        first_ms[name] = choose() * 1e3
        next_ms[name] = best(choose, runs=9) * 1e3
    slowest = max(next_ms, key=lambda name: next_ms[name])
    yield Figure("next check, middle", median(next_ms.values()), "ms", _LIMIT_MS)
    yield Figure("next check, slowest", next_ms[slowest], "ms", _LIMIT_MS, slowest)
    yield Figure("first check of a case, middle", median(first_ms.values()), "ms")
