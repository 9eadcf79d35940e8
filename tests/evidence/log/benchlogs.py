"""Logs of simulated cars for tests, each made once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from expert.bench.air import kelvin, standard_pressure_pa
from expert.bench.car import sized, sound_car
from expert.bench.expect import Place
from expert.bench.faults import broken
from expert.bench.logger import DIALECTS, written
from expert.bench.pull import run
from expert.bench.session import session
from expert.case.car import parts_of
from expert.evidence.hookup.found import as_it_should_be
from expert.evidence.hookup.layout import layout_of
from expert.evidence.hookup.physics import rig_of
from expert.loading.folder import load, shipped_folder

KNOWN = load([shipped_folder()])
SPRING_KPA = 69.0


@cache
def text(
    cause: str = "",
    dialect: str = "plain",
    setup: str = "external-single",
    gate: str | None = None,
    duties: tuple[float | None, ...] = (0.0, None),
    seed: int = 1,
) -> str:
    """The text of the log of a car with a fault, or of a sound one."""
    parts = parts_of(KNOWN, setup, gate, "manifold")
    layout = layout_of(KNOWN, setup, "manifold", parts)
    rig = rig_of(layout, as_it_should_be(layout))
    place = Place(standard_pressure_pa(0.0), kelvin(20.0))
    car = broken(
        sized(sound_car(rig, 1e3 * SPRING_KPA, place), 2.0), [cause] if cause else [], seed
    )
    rows = list(run(car, session(car, list(duties), 3)))
    return written(rows, DIALECTS[dialect], seed)


def written_to(
    folder: Path, cause: str = "", dialect: str = "plain", name: str = "pull.csv"
) -> Path:
    """The file of such a log."""
    path = folder / name
    path.write_text(text(cause, dialect), encoding="utf-8", newline="")
    return path


def edited(folder: Path, name: str, column: str, value: str) -> Path:
    """The log of a sound car with one value all through a column, or without it if ``-``."""
    lines = [line.split(",") for line in text().splitlines()]
    at = next(k for k, head in enumerate(lines[0]) if head.startswith(column))
    for number, line in enumerate(lines):
        if value == "-":
            del line[at]
        elif number:
            line[at] = value
    path = folder / name
    path.write_text("\n".join(",".join(line) for line in lines) + "\n", encoding="utf-8")
    return path
