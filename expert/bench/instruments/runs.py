"""Runs with a logger: what the car does, driven again in another way where that is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from expert.bench.air import ZERO_CELSIUS_K
from expert.bench.car import Car, with_rig
from expert.bench.instruments.electronics import slips
from expert.bench.instruments.pump import gate_hose_port
from expert.bench.instruments.subject import (
    AGAIN_PART,
    LIFT_PART,
    PULL_PART,
    UNKNOWN,
    Answers,
    Subject,
    read_kpa,
    true_kpa,
)
from expert.bench.instruments.trace import CAN, LOWER, SOURCES
from expert.bench.pull import Row, Segment, run
from expert.bench.session import START_RPM

# How far a sound car settles from its spring, 2 psi; far over it, 3 psi; two runs that are the
# same, 1 psi: common practice, no source.
NEAR_KPA: Final = 14.0
FAR_KPA: Final = 20.0
SAME_KPA: Final = 7.0
# A sound turbo of the bench makes its spring well before this engine speed.
LATE_RPM: Final = 3_700.0
_MILD_K: Final = 293.15
COOL_C: Final = 10.0
# A throttle that never opens further than this is part shut; one below the other is closing.
PART_SHUT: Final = 0.75
CLOSES: Final = 0.7
# Less than this share of the spring is hardly any boost; a fall by this share is one to see.
HARDLY: Final = 0.5
SAGS: Final = 0.08
# A rate at the end above this share of the fastest is no levelling off: a choice of our own.
RUNS_AWAY: Final = 0.75
_RATE_S: Final = 0.4
# Boost has come at half of the spring; some hundred rpm later is what an owner notices.
COMES: Final = 0.5
SOME_RPM, MUCH_RPM = 250.0, 800.0


def pull(car: Car, duty: float, gear: int = 3) -> list[Row]:
    """One pull at a fixed duty."""
    parts = [
        Segment("roll", 2.0, 0.12, gear, (START_RPM - 200.0, START_RPM), duty),
        Segment(PULL_PART, 20.0, 1.0, gear, None, duty),
    ]
    return [row for row in run(car, parts) if row.segment == 1]


def _settled(rows: Sequence[Row]) -> float:
    """Boost as read in the middle of the revs."""
    middle = [read_kpa(row) for row in rows if 3_800.0 <= row.rpm <= 4_800.0]
    return sum(middle) / len(middle) if middle else max(read_kpa(row) for row in rows)


def _cut(rows: Sequence[Row]) -> bool:
    return any(row.throttle < 0.2 for row in rows[8:]) and rows[-1].throttle < 0.6


def against_spring(rows: Sequence[Row], spring_kpa: float) -> str:
    """A pull without duty in a word: below, late, near, rising, far."""
    most = max(read_kpa(row) for row in rows)
    if most > spring_kpa + FAR_KPA and (_cut(rows) or _settled(rows) > spring_kpa + FAR_KPA):
        return "far"
    if most < spring_kpa - NEAR_KPA:
        return "below"
    there = next(row.rpm for row in rows if read_kpa(row) >= spring_kpa - NEAR_KPA)
    if there > LATE_RPM:
        return "late"
    top = [read_kpa(row) for row in rows if row.rpm > 6_000.0]
    if _settled(rows) < spring_kpa - NEAR_KPA:
        return "below"
    if top and top[-1] > _settled(rows) + FAR_KPA / 2.0:
        return "rising"
    return "near"


def zero_duty_log(subject: Subject) -> Answers:
    """The lowest boost that can be set."""
    words = {"near": "about-spring", "far": "well-above"}
    found = against_spring(subject.lowest, subject.car.spring_pa / 1e3)
    return (words.get(found, found),)


def boost_curve(subject: Subject) -> Answers:
    """The shape of boost over a pull at the lowest setting, up to where the throttle closes."""
    rows = subject.lowest
    closes = next((k for k, row in enumerate(rows) if k > 8 and row.throttle < CLOSES), len(rows))
    boost = [read_kpa(row) for row in rows[:closes]]
    spring = subject.car.spring_pa / 1e3
    if max(boost) < HARDLY * spring:
        return ("hardly-comes",)
    wide = max(round(_RATE_S / (rows[1].time_s - rows[0].time_s)), 1)
    gains = [late - early for early, late in zip(boost, boost[wide:], strict=False)]
    if boost[-1] > spring + FAR_KPA and gains[-1] > RUNS_AWAY * max(gains):
        return ("runs-away",)
    settled = _settled(rows[:closes])
    if boost[-1] > max(settled, spring - NEAR_KPA) + FAR_KPA / 2.0:
        return ("climbs-on",)
    best = max(boost[-2 * len(boost) // 3 :])
    return ("sags",) if boost[-1] < (1.0 - SAGS) * best else ("levels",)


def boost_comes(subject: Subject) -> Answers:
    """The engine speed at which boost comes, beside that of the car as it should be."""
    if "manual-controller" in subject.car.rig.parts:
        sound, rows = replace(subject.sound, setting=0.0), subject.lowest
    else:
        sound, rows = subject.sound, subject.lowest
    level = COMES * sound.spring_pa / 1e3
    usual = _comes_rpm(pull(replace(sound, place=subject.car.place), 0.0), level)
    here = _comes_rpm(rows, level)
    if here is None or usual is None:
        return ("much-later",)
    late = here - usual
    if late > MUCH_RPM:
        return ("much-later",)
    return ("later",) if late > SOME_RPM else ("as-usual",)


def _comes_rpm(rows: Sequence[Row], level_kpa: float) -> float | None:
    return next((row.rpm for row in rows if true_kpa(row) >= level_kpa), None)


def air_temperature(subject: Subject) -> Answers:
    """A thermometer outside."""
    celsius = subject.car.place.ambient_k - ZERO_CELSIUS_K
    if celsius < 0.0:
        return ("frost",)
    return ("cool",) if celsius < COOL_C else ("mild",)


def gate_direct_run(subject: Subject) -> Answers:
    """One new hose from where the source hose starts to the port of the gate hose."""
    rig = subject.car.rig
    start = next((port for hose in rig.hoses for port in hose if port in SOURCES[:3]), None)
    if start is None:
        start = next(p for hose in subject.sound.rig.hoses for p in hose if p in SOURCES[:3])
    gate = gate_hose_port(subject)
    direct = replace(rig, hoses=((start, gate),), splits_mm={}, bores_mm={}, pills_mm={})
    direct = replace(direct, checks=frozenset())
    car = replace(with_rig(subject.car, direct), extra_lag_s=0.0, keeps_signal=False)
    if gate not in (CAN, LOWER):
        return UNKNOWN
    found = against_spring(pull(car, 0.0), car.spring_pa / 1e3)
    words = {"near": "on-spring", "far": "far-above", "rising": "rises", "late": "below"}
    return (words.get(found, found),)


def duty_steps(subject: Subject) -> Answers:
    """Three pulls at rising duty; stopped where boost goes far over the spring."""
    if not subject.car.control.has_solenoid:
        return UNKNOWN
    spring = subject.car.spring_pa / 1e3
    if against_spring(subject.lowest, spring) == "far":
        return UNKNOWN
    duties = (0.1, 0.2, 0.3) if "four-port" in subject.car.rig.parts else (0.15, 0.3, 0.45)
    runs = [subject.lowest]
    for duty in duties:
        one = pull(subject.car, 0.0 if subject.car.control.duty_taken else duty)
        runs.append(one)
        if _cut(one):
            break
    levels = [_settled(one) for one in runs]
    if any(row.surging for one in runs for row in one):
        return ("chuffs",)
    if max(levels) < levels[0] + SAME_KPA / 2.0:
        return ("falls",) if min(levels) < levels[0] - SAME_KPA else ("none",)
    if _cut(runs[-1]) and max(levels[:-1]) < levels[0] + SAME_KPA:
        return ("jumps",)
    last = runs[-1]
    top = read_kpa(last[-1])
    if not _cut(last) and top < _settled(last) - NEAR_KPA:
        return ("fades",)
    if not _cut(last) and max(map(read_kpa, last)) > _settled(last) + NEAR_KPA:
        return ("jumps",)
    return ("steady-rise",)


def gears_and_cold(subject: Subject) -> Answers:
    """The lowest setting in second and fourth gear, and on a mild day."""
    cold = subject.car.place.ambient_k < _MILD_K - 15.0
    here = _top(subject.lowest)
    if cold:
        place = replace(subject.car.place, ambient_k=_MILD_K)
        mild = _top(pull(replace(subject.car, place=place), 0.0))
        if here > mild + SAME_KPA:
            return ("cold-only",)
    spread = _top(pull(subject.car, 0.0, 4)) - _top(pull(subject.car, 0.0, 2))
    return ("more-in-high-gear",) if spread > SAME_KPA else ("same",)


def _top(rows: Sequence[Row]) -> float:
    high = [read_kpa(row) for row in rows if row.rpm > 5_500.0]
    return max(high) if high else max(read_kpa(row) for row in rows)


def when_worst(subject: Subject) -> Answers:
    """At what times it is worse, as an owner would have noticed."""
    found = gears_and_cold(subject)
    if found == ("cold-only",):
        return ("cold-weather",)
    again = subject.of(AGAIN_PART)
    keeps = subject.car.keeps_signal
    if keeps and again:
        return ("repeat-pull",)
    return ("high-gears",) if found == ("more-in-high-gear",) else ("steady",)


def throttle_log(subject: Subject) -> Answers:
    """Throttle, target and speed with the pedal flat."""
    found = []
    pulls = [rows[10:] for rows in (subject.lowest, subject.mapped)]
    if any(max(row.throttle for row in rows) < PART_SHUT for rows in pulls if rows):
        found.append("part-shut")
    elif any(row.throttle < 0.8 for rows in pulls for row in rows):
        found.append("throttle-closes")
    if slips(subject):
        found.append("rpm-without-speed")
    return tuple(found) or ("full",)


def cooler_run(subject: Subject) -> Answers:
    """Pressure lost between the ends of the cooler."""
    most = max(row.housing_pa - row.charge_pa for row in subject.mapped)
    return ("much",) if most > 10e3 else ("little",)


def flutter_when(subject: Subject) -> Answers:
    """The sound of air thrown back."""
    found = []
    if any(row.surging for row in subject.of(LIFT_PART)):
        found.append("on-lift")
    if sum(row.surging for row in subject.of(PULL_PART)) > 3:
        found.append("foot-down")
    return tuple(found) or ("never",)


def log_trace(subject: Subject) -> Answers:
    """The shape of boost in the log."""
    pulls = [*subject.lowest, *subject.mapped]
    reads = [read_kpa(row) for row in subject.rows]
    if max(reads) - min(reads) < 8.0:
        return ("never-moves",)
    top = max(map(read_kpa, pulls))
    flat = sum(read_kpa(row) > top - 0.01 for row in pulls)
    if flat > 10:
        return ("cut-flat",)
    for rows in (subject.lowest, subject.mapped):
        cut = _cut(rows)
        if not cut and max(map(true_kpa, rows)) > _settled(rows) + NEAR_KPA:
            return ("overshoots",)
    return ("alive",)
