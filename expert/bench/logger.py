"""Rows of a simulation as loggers write them: channels with noise, in one of several dialects.

The dialects are invented. They differ in what files of loggers differ in: delimiter, decimal sign,
units beside the names or in a row of their own, text before the table, and how time is written.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Final

from expert.bench.air import ZERO_CELSIUS_K
from expert.bench.pull import Row

# NIST Special Publication 811 (2008), appendix B.8.
PA_PER: Final = {"kPa": 1e3, "psi": 6_894.757, "bar": 1e5, "mbar": 1e2}
# Stoichiometric mass of air for petrol, as textbooks have it.
STOICHIOMETRIC: Final = 14.7
# What noise is on a channel: one standard deviation, assumed.
_NOISE: Final = {
    "rpm": 6.0,
    "boost": 500.0,
    "barometer": 80.0,
    "throttle": 0.3,
    "pedal": 0.1,
    "speed": 0.15,
    "mixture": 0.004,
    "intake": 0.3,
}


# So many readings of one and the same number, under boost, are no chance.
_STOPS_ROWS: Final = 5
_BOOSTED_PA: Final = 10e3
_SIGNED: Final = frozenset({"intake"})


@dataclass(frozen=True, slots=True)
class Channel:
    """A column: its name, its unit and its value in that unit."""

    name: str
    unit: str
    value: Callable[[Row, random.Random], float]
    decimals: int


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a logger writes.

    ``time`` is seconds, milliseconds or clock; ``units`` is none, brackets or row; ``gauge`` says
    that boost is written without the barometer. ``blanks`` is the share of cells left empty;
    ``repeats`` that of lines written twice. ``cut`` ends the file in the middle of a line.
    """

    about: str
    delimiter: str = ","
    comma: bool = False
    time: str = "seconds"
    units: str = "brackets"
    pressure: str = "kPa"
    gauge: bool = False
    names: tuple[str, ...] = ()
    preamble: tuple[str, ...] = ()
    quoted: bool = False
    byte_order_mark: bool = False
    newline: str = "\n"
    blanks: float = 0.0
    repeats: float = 0.0
    cut: bool = False
    left_out: frozenset[str] = field(default_factory=frozenset)


CHANNELS: Final = (
    *("time", "rpm", "boost", "barometer", "target", "duty", "throttle", "pedal"),
    *("speed", "gear", "mixture", "intake"),
)

DIALECTS: Final[dict[str, Dialect]] = {
    "plain": Dialect(
        "comma, point, units in brackets, seconds, absolute kPa",
        names=(
            *("Time", "Engine speed", "MAP", "Barometer", "Boost target", "Wastegate duty"),
            *("Throttle", "Pedal", "Vehicle speed", "Gear", "Lambda", "Intake temperature"),
        ),
    ),
    "semicolon": Dialect(
        "semicolon, decimal comma, a row of units, absolute mbar, byte-order mark, CRLF",
        delimiter=";",
        comma=True,
        units="row",
        pressure="mbar",
        names=(
            *("time", "n_engine", "p_intake", "p_ambient", "p_target", "duty_gate"),
            *("throttle_angle", "pedal_position", "v_vehicle", "gear", "lambda", "t_intake"),
        ),
        byte_order_mark=True,
        newline="\r\n",
    ),
    "clock": Dialect(
        "tab, clock times, text before the table, gauge psi, no barometer and no gear",
        delimiter="\t",
        time="clock",
        pressure="psi",
        gauge=True,
        names=(
            *("Clock", "RPM", "Boost", "Baro", "Boost Target", "WG Duty"),
            *("TPS", "APP", "Speed", "Gear", "Lambda", "IAT"),
        ),
        preamble=("Invented logger, log of a road run", "Sample interval: 50 ms", ""),
        left_out=frozenset({"barometer", "gear"}),
    ),
    "milliseconds": Dialect(
        "comma, quoted fields, milliseconds, absolute bar",
        time="milliseconds",
        pressure="bar",
        quoted=True,
        names=(
            *("Timestamp", "Engine RPM", "Manifold pressure", "Ambient pressure"),
            *("Target pressure", "Solenoid duty", "Throttle position", "Accelerator"),
            *("Road speed", "Current gear", "Lambda 1", "Air temperature"),
        ),
    ),
    "untidy": Dialect(
        "as plain, with blank cells, repeated lines and a last line cut short; no target, no gear",
        names=(
            *("Time", "RPM", "MAP", "Baro", "Target", "Duty"),
            *("TPS", "Pedal", "Speed", "Gear", "Lambda", "IAT"),
        ),
        blanks=0.01,
        repeats=0.01,
        cut=True,
        left_out=frozenset({"target", "gear"}),
    ),
}


def channels(dialect: Dialect, most_pa: float = math.inf) -> list[Channel]:
    """The columns of a dialect, in order; past ``most_pa`` the boost sensor reads nothing."""
    names = dict(zip(CHANNELS, dialect.names, strict=True))
    per = PA_PER[dialect.pressure]
    decimals = {"kPa": 1, "psi": 2, "bar": 3, "mbar": 0}[dialect.pressure]

    def noisy(name: str, value: Callable[[Row], float]) -> Callable[[Row, random.Random], float]:
        def noisy_value(row: Row, draw: random.Random) -> float:
            found = value(row) + draw.gauss(0.0, _NOISE[name])
            return found if name in _SIGNED else max(found, 0.0)

        return noisy_value

    def pressure(row: Row, pa: float) -> float:
        return (pa - (row.ambient_pa if dialect.gauge else 0.0)) / per

    known: dict[str, tuple[str, Callable[[Row, random.Random], float], int]] = {
        "rpm": ("rpm", noisy("rpm", lambda row: row.rpm), 0),
        "boost": (
            dialect.pressure,
            lambda row, draw: pressure(row, _read(row, draw.gauss(0.0, _NOISE["boost"]), most_pa)),
            decimals,
        ),
        "barometer": (
            dialect.pressure,
            lambda row, draw: (row.ambient_pa + draw.gauss(0.0, _NOISE["barometer"])) / per,
            decimals,
        ),
        "target": (dialect.pressure, lambda row, _: pressure(row, row.target_pa), decimals),
        "duty": ("%", lambda row, _: 100.0 * row.duty, 1),
        "throttle": ("%", noisy("throttle", lambda row: 100.0 * row.throttle), 1),
        "pedal": ("%", noisy("pedal", lambda row: 100.0 * row.pedal), 1),
        "speed": ("km/h", noisy("speed", lambda row: 3.6 * row.road_m_s), 1),
        "gear": ("", lambda row, _: float(row.gear if row.road_m_s > 0.0 else 0), 0),
        "mixture": ("", noisy("mixture", lambda row: row.mixture / STOICHIOMETRIC), 3),
        "intake": ("°C", noisy("intake", lambda row: row.intake_k - ZERO_CELSIUS_K), 1),
    }
    return [
        Channel(names[name], *known[name])
        for name in CHANNELS
        if name != "time" and name not in dialect.left_out
    ]


def _most_pa(rows: Sequence[Row]) -> float:
    """The end of the sensor's range, where readings stop at one number; infinite where none do."""
    most = max((row.read_pa for row in rows), default=0.0)
    there = [row for row in rows if row.read_pa == most]
    boosted = bool(there) and most > there[0].ambient_pa + _BOOSTED_PA
    return most if boosted and len(there) >= _STOPS_ROWS else math.inf


def _read(row: Row, noise_pa: float, most_pa: float) -> float:
    """A reading with its noise; past the end of its range a sensor does not waver."""
    return row.read_pa if row.read_pa >= most_pa else min(row.read_pa + noise_pa, most_pa)


def written(rows: Sequence[Row], dialect: Dialect, seed: int) -> str:
    """The text of a log file. The same seed draws the same noise."""
    draw = random.Random(f"{seed} logger")
    columns = channels(dialect, _most_pa(rows))
    lines = [*dialect.preamble, *_headers(dialect, columns)]
    for row in rows:
        cells = [_time(dialect, row.time_s)]
        cells += [_cell(dialect, column, row, draw) for column in columns]
        line = _line(dialect, cells)
        lines.append(line)
        if draw.random() < dialect.repeats:
            lines.append(line)
    text = dialect.newline.join(lines) + dialect.newline
    if dialect.cut:
        text = text[: -max(len(lines[-1]) // 2, 2)]
    return ("\N{ZERO WIDTH NO-BREAK SPACE}" if dialect.byte_order_mark else "") + text


def _headers(dialect: Dialect, columns: Sequence[Channel]) -> list[str]:
    unit = {"seconds": "s", "milliseconds": "ms", "clock": ""}[dialect.time]
    names = [dialect.names[0], *(column.name for column in columns)]
    units = [unit, *(column.unit for column in columns)]
    if dialect.units == "row":
        return [_line(dialect, names), _line(dialect, units)]
    if dialect.units == "brackets":
        names = [f"{name} ({one})" if one else name for name, one in zip(names, units, strict=True)]
    return [_line(dialect, names)]


def _line(dialect: Dialect, cells: Sequence[str]) -> str:
    if dialect.quoted:
        cells = [f'"{cell}"' for cell in cells]
    return dialect.delimiter.join(cells)


def _time(dialect: Dialect, seconds: float) -> str:
    if dialect.time == "milliseconds":
        return f"{1000.0 * seconds:.0f}"
    if dialect.time == "clock":
        # The log begins a little before noon, so that the hour turns in it.
        whole = 11 * 3600 + 59 * 60 + 40 + seconds
        minutes, rest = divmod(whole, 60.0)
        return f"{int(minutes) // 60:02d}:{int(minutes) % 60:02d}:{rest:06.3f}"
    return _number(dialect, seconds, 3)


def _cell(dialect: Dialect, column: Channel, row: Row, draw: random.Random) -> str:
    value = column.value(row, draw)
    if draw.random() < dialect.blanks:
        return ""
    return _number(dialect, value, column.decimals)


def _number(dialect: Dialect, value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if float(text) == 0.0:
        text = text.removeprefix("-")
    return text.replace(".", ",") if dialect.comma else text
