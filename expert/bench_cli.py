"""gatepost bench: logs of simulated cars; it imports only what it needs."""

from __future__ import annotations

import sys

from expert.asked import knowledge_of

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from pathlib import Path

    from expert.bench.car import Car
    from expert.bench.logger import Dialect
    from expert.bench.pull import Row, Segment
    from expert.model import Knowledge

DONE = 0
MAP = "map"
# More pulls than this make no sense in one log.
MOST_PULLS = 20
SEED_MOST = 2**32
# Where cars are driven: -40 to 60 degrees Celsius, and no higher than 5,000 m.
COLDEST_K, HOTTEST_K = 233.15, 333.15
LEAST_PA = 54_000.0
LEAST_LITRES, MOST_LITRES = 1.0, 6.0


def bench(options: argparse.Namespace) -> int:
    """List the causes that the bench can give a car, or write the log of a car."""
    knowledge = knowledge_of(options)
    return _list(knowledge, options) if options.list else _log(knowledge, options)


def _list(knowledge: Knowledge, options: argparse.Namespace) -> int:
    from expert.bench.faults import FAULTS, fitting
    from expert.errors import UsageError
    from expert.text import clean

    if options.cause or options.out is not None:
        raise UsageError("--list makes no log; leave --cause and --out out.")
    faults = list(FAULTS.values())
    if options.setup is not None:
        faults = list(fitting(_sound(knowledge, options)))
    for fault in faults:
        known = knowledge.causes.get(fault.id)
        if known is not None:
            sys.stdout.write(f"{fault.id}: {clean(known.title, 200)}\n    {fault.how}\n")
    return DONE


def _log(knowledge: Knowledge, options: argparse.Namespace) -> int:
    from expert.bench.faults import FaultError, broken
    from expert.bench.logger import written
    from expert.bench.pull import run
    from expert.bench.session import session
    from expert.errors import UsageError
    from expert.export.files import write_whole
    from expert.text import clean

    if options.setup is None or options.out is None:
        raise UsageError("Name the setup and the file: gatepost bench --setup ID --out FILE.")
    for name in options.cause:
        if name not in knowledge.causes:
            raise UsageError(
                f"There is no cause {clean(name, 60)!r}; those that the bench can give a car: "
                "gatepost bench --list."
            )
    seed = _whole("--seed", options.seed, 0, SEED_MOST)
    gear = _whole("--gear", options.gear, 2, 5)
    duties = _duties(options.duty)
    dialect = _dialect(options.dialect)
    sound = _sound(knowledge, options)
    if not sound.control.has_solenoid and any(duties):
        raise UsageError("--duty: this setup has no boost solenoid; leave it out.")
    try:
        car = broken(sound, options.cause, seed)
    except FaultError as error:
        raise UsageError(clean(str(error), 300)) from None
    segments = session(car, duties, gear)
    rows = list(run(car, segments))
    write_whole(options.out, written(rows, dialect, seed).encode("utf-8"))
    _summary(options.out, rows, segments, sound.control.has_solenoid)
    return DONE


def _sound(knowledge: Knowledge, options: argparse.Namespace) -> Car:
    """The car of the options with nothing wrong."""
    from expert.bench.air import kelvin, standard_pressure_pa
    from expert.bench.car import sized, sound_car
    from expert.bench.expect import Place
    from expert.case.car import parts_of
    from expert.errors import UsageError
    from expert.evidence.hookup.found import as_it_should_be
    from expert.evidence.hookup.layout import layout_of
    from expert.evidence.hookup.physics import rig_of
    from expert.plumbing_cli import _number, _pressure_kpa

    parts = parts_of(knowledge, options.setup, options.gate, options.bypass)
    layout = layout_of(knowledge, options.setup, options.bypass, parts)
    spring_pa = 1000.0 * _pressure_kpa("--spring", options.spring)
    target_pa = None
    if options.target is not None:
        target_pa = 1000.0 * _pressure_kpa("--target", options.target)
    try:
        place = Place(
            standard_pressure_pa(_number("--altitude", options.altitude)),
            kelvin(_number("--temperature", options.temperature)),
        )
    except ValueError as error:
        raise UsageError(f"{error}.") from None
    if not COLDEST_K <= place.ambient_k <= HOTTEST_K:
        raise UsageError("--temperature: expected -40 to 60 degrees Celsius.")
    if place.ambient_pa < LEAST_PA:
        raise UsageError("--altitude: expected at most 5000 m.")
    litres = _number("--litres", options.litres)
    if not LEAST_LITRES <= litres <= MOST_LITRES:
        raise UsageError(f"--litres: expected {LEAST_LITRES:g} to {MOST_LITRES:g}.")
    rig = rig_of(layout, as_it_should_be(layout))
    return sized(sound_car(rig, spring_pa, place, target_pa=target_pa), litres)


def _duties(text: str) -> list[float | None]:
    """The duties of the pulls, as shares; None is the table of the car."""
    from expert.errors import UsageError
    from expert.plumbing_cli import _percent

    words = [word.strip() for word in text.split(",")]
    if len(words) > MOST_PULLS:
        raise UsageError(f"--duty: found {len(words)} pulls; expected at most {MOST_PULLS}.")
    return [None if word == MAP else _percent("--duty", word) / 100.0 for word in words]


def _dialect(name: str) -> Dialect:
    from expert.bench.logger import DIALECTS
    from expert.errors import UsageError
    from expert.text import clean

    if name not in DIALECTS:
        raise UsageError(f"--dialect {clean(name, 40)!r}: expected one of {', '.join(DIALECTS)}.")
    return DIALECTS[name]


def _whole(option: str, text: str, least: int, most: int) -> int:
    from expert.errors import UsageError
    from expert.text import clean

    digits = text.strip()
    if not (digits.isascii() and digits.isdecimal()) or len(digits) > 10:
        raise UsageError(f"{option} {clean(text, 40)!r}: expected a whole number.")
    if not least <= int(digits) <= most:
        raise UsageError(f"{option} {clean(text, 40)!r}: expected {least} to {most}.")
    return int(digits)


def _summary(
    path: Path, rows: Sequence[Row], segments: Sequence[Segment], has_solenoid: bool
) -> None:
    """What was written, and what the car truly did in each pull."""
    from expert.bench.session import PULL
    from expert.text import clean
    from expert.units import shown_kpa

    sys.stdout.write(f"{clean(str(path))}: {len(rows)} rows, {rows[-1].time_s:.0f} s\n")
    for number, segment in enumerate(segments):
        if segment.name != PULL:
            continue
        pull = [row for row in rows if row.segment == number]
        duty = " at the map's duty"
        if segment.duty is not None:
            duty = f" at {100.0 * segment.duty:.0f} % duty"
        most_pa = max(row.manifold_pa - row.ambient_pa for row in pull)
        cut = ", ended by the throttle" if pull[-1].throttle < 0.2 else ""
        sys.stdout.write(
            f"pull{duty if has_solenoid else ''}: "
            f"at most {shown_kpa(most_pa / 1000.0)} of true boost, "
            f"to {pull[-1].rpm:.0f} rpm{cut}\n"
        )
