"""Two sides measured in one run: taken in turns, the best of each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import perf_counter, process_time

from tests.benchmarks.figure import Figure

Measure = Callable[[], float]


@dataclass(frozen=True, slots=True)
class Ratio:
    """The best seconds of each side."""

    ours_s: float
    other_s: float

    @property
    def value(self) -> float:
        return self.ours_s / self.other_s

    def figure(self, what: str, limit: float | None = None, note: str = "") -> Figure:
        times = f"{self.ours_s * 1e3:.1f} ms / {self.other_s * 1e3:.1f} ms"
        return Figure(what, self.value, "x", limit, f"{times}; {note}" if note else times)


def seconds(work: Callable[[], object], clock: Measure = perf_counter) -> Measure:
    """A measure of how long ``work`` takes."""

    def measure() -> float:
        begun = clock()
        work()
        return clock() - begun

    return measure


def processor_seconds(work: Callable[[], object]) -> Measure:
    """A measure of the time of processors that ``work`` takes, that of all its threads together."""
    return seconds(work, process_time)


def ratio(ours: Measure, other: Measure, runs: int) -> Ratio:
    """Both measured ``runs`` times, in turns; other work on the machine only ever adds time."""
    pairs = [(ours(), other()) for _ in range(runs)]
    return Ratio(min(pair[0] for pair in pairs), min(pair[1] for pair in pairs))


def best(measure: Measure, runs: int) -> float:
    """The best of several runs, in seconds."""
    return min(measure() for _ in range(runs))
