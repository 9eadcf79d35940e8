"""Stated probabilities on 20,000 invented cars in each setting: their error, and the time."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter

from expert.loading.folder import load, shipped_folder
from expert.workbench.calibrate import CARS, MOST_ERROR, calibrations
from tests.benchmarks.figure import Figure

_LIMIT_S = 90.0


def figures() -> Iterator[Figure]:
    knowledge = load([shipped_folder()])
    begun = perf_counter()
    found = calibrations(knowledge, CARS)
    seconds = perf_counter() - begun
    of_the_first = found[0].first_error
    note = f"by chance {found[0].chance:.4f}"
    yield Figure("calibration error of the likeliest cause", of_the_first, "", MOST_ERROR, note)
    yield Figure("calibration error of all causes", found[0].error, "", MOST_ERROR)
    yield Figure(f"{len(found)} settings of {CARS:,} cars", seconds, "s", _LIMIT_S)
