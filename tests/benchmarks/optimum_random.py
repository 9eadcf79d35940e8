"""The quick plan against the exact optimum on random problems, larger than in the tests."""

from __future__ import annotations

from collections.abc import Iterator

from tests.benchmarks.figure import Figure
from tests.benchmarks.plan_ratio import SIZE, judged
from tests.reasoning.test_optimum import random_problem

_PROBLEMS = 20


def figures() -> Iterator[Figure]:
    problems = {
        f"seed {seed}": random_problem(seed, SIZE, SIZE, most_answers=3)
        for seed in range(_PROBLEMS)
    }
    yield from judged("random problems", problems)
