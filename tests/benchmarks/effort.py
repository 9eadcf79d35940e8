"""Minutes and checks to the right cause, by the trees and by value: no tree over 1.25 of value."""

from __future__ import annotations

from collections.abc import Iterator

from expert.loading.folder import load, shipped_folder
from expert.workbench.effort import Fleet, efforts
from tests.benchmarks.figure import Figure

CARS = 100
SEED = 1
LIMIT = 1.25


def figures() -> Iterator[Figure]:
    knowledge = load([shipped_folder()])
    fleet = Fleet(CARS, SEED)
    for row in efforts(knowledge, list(knowledge.symptoms), list(knowledge.setups), fleet):
        detail = (
            f"{row.tree.minutes:.0f} min {row.tree.checks:.1f} checks {row.tree.found:.2f} found; "
            f"value {row.value.minutes:.0f} min {row.value.checks:.1f} checks "
            f"{row.value.found:.2f}; bound {row.bound_checks:.1f} checks"
        )
        car = " ".join(filter(None, (row.setup, row.gate)))
        yield Figure(f"{row.symptom}, {car}: tree / value", row.ratio, "x", LIMIT, detail)
