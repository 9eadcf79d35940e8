"""How much dearer the quick plan is than the cheapest of all plans, over many problems."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from expert.reasoning.optimum import optimum, planned, trouble
from expert.reasoning.plan import Problem
from tests.benchmarks.figure import Figure

# Causes and checks of each problem; the programme's work doubles or trebles with one more.
SIZE: Final = 8


def judged(what: str, problems: Mapping[str, Problem]) -> Iterator[Figure]:
    """Mean, 95th percentile and worst ratio of the plan to the optimum."""
    ratios = {name: planned(one) / optimum(trouble(one)) for name, one in problems.items()}
    found = np.array(list(ratios.values()))
    worst = max(ratios, key=lambda name: ratios[name])
    size = f"plan / optimum on {len(found)} {what}, {SIZE} causes x {SIZE} checks"
    yield Figure(f"{size}, mean", float(found.mean()), "x", 1.01, digits=5)
    yield Figure(f"{size}, 95th percentile", float(np.quantile(found, 0.95)), "x", 1.03, digits=5)
    yield Figure(f"{size}, worst", float(found.max()), "x", 1.06, worst, digits=5)
