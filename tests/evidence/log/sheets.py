"""Sheets without a file, and an invented drive to fill them: every number by a formula."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from expert.evidence.log.record import Header
from expert.loading.folder import load, shipped_folder

Floats = NDArray[np.float64]
CHANNELS = load([shipped_folder()]).channels
AIR_KPA = 98.4
KPA_PER_PSI = 6.894757293168
STEP_S = 0.1


@dataclass
class FakeSheet:
    """Columns by their number, as an opened file has them."""

    headers: Sequence[Header]
    values: Sequence[Floats]
    file: str = "drive.csv"
    notes: Sequence[str] = ()
    sampled: list[int] = field(default_factory=list)

    def sample(self, column: int) -> Floats:
        self.sampled.append(column)
        return self.values[column]

    def columns(self, wanted: Sequence[int]) -> list[Floats]:
        return [self.values[column].copy() for column in wanted]


def sheet(*columns: tuple[str, str, Floats]) -> FakeSheet:
    """A sheet of columns: name, unit and values."""
    return FakeSheet(
        [Header(name, unit) for name, unit, _ in columns], [values for _, _, values in columns]
    )


def drive(key_on: bool = True, idle: bool = True, peak_kpa: float = 90.0) -> dict[str, Floats]:
    """Key on, idle, a roll, a pull to 6,500 rpm, a lift: in the units inside, without time gaps.

    ``boost`` and ``target`` are in kPa above outside air, which has `AIR_KPA`.
    """
    parts: list[Mapping[str, float]] = []

    def add(seconds: float, **ends: tuple[float, float]) -> None:
        steps = round(seconds / STEP_S)
        for k in range(steps):
            share = k / steps
            parts.append({name: a + (b - a) * share for name, (a, b) in ends.items()})

    closed, wide = (2.0, 2.0), (99.0, 99.0)
    if key_on:
        add(3, rpm=(0, 0), boost=(0, 0), throttle=closed, pedal=(0, 0), speed=(0, 0), duty=(0, 0))
    if idle:
        vacuum = (-66.0, -64.0)
        add(4, rpm=(850, 870), boost=vacuum, throttle=closed, pedal=(0, 0), speed=(0, 0))
        add(
            3, rpm=(1500, 2200), boost=(-50, -30), throttle=(12, 14), pedal=(11, 12), speed=(30, 45)
        )
    add(2, rpm=(2200, 3200), boost=(0, peak_kpa), throttle=wide, pedal=wide, speed=(45, 66))
    add(4, rpm=(3200, 6500), boost=(peak_kpa, peak_kpa), throttle=wide, pedal=wide, speed=(66, 134))
    if idle:
        add(2, rpm=(6400, 5000), boost=(-70, -72), throttle=closed, pedal=(0, 0), speed=(132, 110))
    found = {
        name: np.array([row.get(name, 0.0) for row in parts], dtype=np.float64)
        for name in ("rpm", "boost", "throttle", "pedal", "speed")
    }
    count = len(parts)
    wobble = np.sin(np.arange(count) * 1.7)
    found["boost"] = found["boost"] + 0.4 * wobble
    found["time"] = STEP_S * np.arange(count)
    found["barometer"] = np.full(count, AIR_KPA)
    found["target"] = np.where(found["throttle"] > 50.0, 95.0, 10.0)
    found["duty"] = np.where(found["throttle"] > 50.0, 42.0, 0.0) + 0.1 * wobble
    found["gear"] = np.where(found["speed"] > 1.0, 3.0, 0.0)
    found["mixture"] = np.where(found["throttle"] > 50.0, 0.82, 1.0)
    found["intake"] = 24.0 + 0.02 * np.arange(count)
    return found


def plain(values: Mapping[str, Floats] | None = None, absolute: bool = True) -> FakeSheet:
    """The drive as a tidy logger writes it."""
    one = drive() if values is None else values
    air = AIR_KPA if absolute else 0.0
    return sheet(
        ("Time", "s", one["time"]),
        ("Engine speed", "rpm", one["rpm"]),
        ("Boost", "kPa", one["boost"] + air),
        ("Barometer", "kPa", one["barometer"]),
        ("Boost target", "kPa", one["target"] + air),
        ("Wastegate duty", "%", one["duty"]),
        ("Throttle", "%", one["throttle"]),
        ("Pedal", "%", one["pedal"]),
        ("Vehicle speed", "km/h", one["speed"]),
        ("Gear", "", one["gear"]),
        ("Lambda", "", one["mixture"]),
        ("Intake temperature", "°C", one["intake"]),
    )
