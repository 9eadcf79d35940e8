"""What a simulated car truly does, by true boost and not by its log: symptoms in plain numbers.

The limits are those in the words of the symptoms: 20 kPa (3 psi) over the spring is too much, more
than 14 kPa (2 psi) under it is too little. A rise, a fall or an overshoot of 2 psi is what an owner
notices; that and what a swing is are our own choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Final

from expert.bench.instruments.subject import Subject, read_kpa, true_kpa
from expert.bench.pull import Row
from expert.bench.session import AGAIN, session

FAR_KPA: Final = 20.0
NEAR_KPA: Final = 14.0
MOVES_KPA: Final = 14.0
SWING_KPA: Final = 6.0
SWINGS: Final = 6
# A sound turbo of the bench makes its spring well before this engine speed.
LATE_RPM: Final = 3_700.0
START_RPM: Final = 2_000.0
EARLY: Final = (2_900.0, 3_400.0)
MIDDLE: Final = (3_800.0, 4_800.0)
TOP_RPM: Final = 6_000.0
CLOSED: Final = 0.7

# The graver first: the first that is there is the main one.
ORDER: Final = (
    *("overboost", "power-cut", "hunting", "creep", "lazy", "falls-off", "spike"),
    *("spring-ceiling", "flutter"),
)


@dataclass(frozen=True)
class Shape:
    """A pull in numbers, gauge kPa.

    What it settles to, what it is soon after it has come, its peak, its end, the engine speed at
    which it comes near the spring, what it was when the throttle closed, and how often it turns.
    ``cut`` is a throttle that closes under way, ``shut`` one that never opens.
    """

    settled: float
    early: float
    peak: float
    top: float
    came_rpm: float | None
    cut: bool
    shut: bool
    held: float
    swings: int
    crests: tuple[float, ...] = ()


def shape(rows: Sequence[Row], spring_kpa: float, least: float = 1.0) -> Shape:
    """The numbers of one pull; what comes after the throttle has closed is left out."""
    shut = max(row.throttle for row in rows[8:]) < CLOSED
    closes = next((k for k, row in enumerate(rows) if k > 8 and row.throttle < CLOSED), None)
    cut = closes is not None and not shut
    kept = rows[:closes] if cut else rows
    boost = [true_kpa(row) for row in kept]
    middle = [true_kpa(row) for row in kept if MIDDLE[0] <= row.rpm <= MIDDLE[1]]
    early = [true_kpa(row) for row in kept if EARLY[0] <= row.rpm <= EARLY[1]]
    top = [true_kpa(row) for row in kept if row.rpm >= TOP_RPM]
    came = next((row.rpm for row in kept if true_kpa(row) >= spring_kpa - NEAR_KPA), None)
    late = [true_kpa(row) for row in kept if row.rpm > 3_000.0]
    return Shape(
        sum(middle) / len(middle) if middle else boost[-1],
        sum(early) / len(early) if early else boost[-1],
        max(boost),
        top[-1] if top else boost[-1],
        came,
        cut,
        shut,
        boost[-1],
        _turns(late, least * SWING_KPA),
        _crests(late, least * SWING_KPA),
    )


def _crests(values: Sequence[float], least: float) -> tuple[float, ...]:
    """The tops of a curve from which it falls by more than a threshold."""
    found, top, low = [], -1e9, 1e9
    rising = True
    for value in values:
        if rising:
            top = max(top, value)
            if value < top - least:
                found.append(top)
                rising, low = False, value
        else:
            low = min(low, value)
            if value > low + least:
                rising, top = True, value
    return tuple(found)


def _turns(values: Sequence[float], least: float) -> int:
    """How often a curve turns by more than a threshold."""
    turns, way = 0, 0
    extreme = values[0] if values else 0.0
    for value in values:
        if way >= 0 and value < extreme - least:
            turns, way, extreme = turns + (way != 0), -1, value
        elif way <= 0 and value > extreme + least:
            turns, way, extreme = turns + (way != 0), 1, value
        elif (way >= 0 and value > extreme) or (way < 0 and value < extreme):
            extreme = value
    return turns


def symptoms(subject: Subject, least: float = 1.0) -> tuple[str, ...]:
    """What the car truly does, the main one first.

    With ``least`` below 1 every limit on what is a rise, a fall, a swing or an overshoot is lower
    by that share: what a log may show and need not.
    """
    car = subject.car
    spring, target = car.spring_pa / 1e3, car.target_pa / 1e3
    mapped = shape(subject.mapped, spring, least)
    lowest = shape(subject.lowest, spring, least)
    found = set()
    if _too_much(lowest, spring, least) or _too_much(mapped, target, least):
        found.add("overboost")
    elif lowest.cut or mapped.cut or lowest.shut or mapped.shut:
        found.add("power-cut")
    if max(lowest.swings, mapped.swings) >= SWINGS:
        found.add("hunting")
    for one, level in ((lowest, spring), (mapped, target)):
        found |= _of_pull(one, level, spring, least)
    if _too_little(lowest, spring, least):
        found.add("lazy")
    elif _ceiling(mapped, spring, target, least) and not mapped.cut:
        found.add("spring-ceiling")
    if least < 1.0 and _spikes_again(subject, least):
        found.add("spike")
    if any(row.surging for row in subject.of("lift")) or _surges(subject):
        found.add("flutter")
    if least == 1.0:
        found -= {"power-cut", "spike"} if "overboost" in found else set()
        found -= {"spike"} if "hunting" in found else set()
    return tuple(name for name in ORDER if name in found)


def _of_pull(one: Shape, level: float, spring: float, least: float) -> set[str]:
    """What one pull shows beside its level: a rise, a fall, an overshoot."""
    found = set()
    moves = least * MOVES_KPA
    starts = abs(one.settled - level) < FAR_KPA / least
    if starts and one.top > max(one.settled, level) + moves:
        found.add("creep")
    good = max(one.early, one.settled)
    # A peak that settles is over by the middle of the revs; a fall goes on.
    sags = one.top < good - moves and one.top < one.settled - moves / 2.0
    if not one.cut and sags and good > spring - NEAR_KPA:
        found.add("falls-off")
    if one.peak > max(one.settled, level) + moves and one.top < one.peak - moves:
        found.add("spike")
    return found


def _spikes_again(subject: Subject, least: float) -> bool:
    """Does boost shoot over when the throttle opens again after a change up?

    A log shows it, wherever it was; an owner need not complain of it.
    """
    bare = subject.wound_out or ()
    parts = [part.name for part in session(subject.car, [None])]
    logs = [subject.of(AGAIN), [row for row in bare if parts[row.segment] == AGAIN]]
    for rows in logs:
        boost = [true_kpa(row) for row in rows if row.throttle >= CLOSED]
        if boost and max(boost) > boost[-1] + least * MOVES_KPA:
            return True
    return False


def _surges(subject: Subject) -> bool:
    return sum(row.surging for row in (*subject.lowest, *subject.mapped)) > 3


def _too_much(one: Shape, level: float, least: float) -> bool:
    """Over its level by 3 psi in the middle of the revs, at their end, or when the throttle shuts.

    A peak that settles is none. Of a swing the usual top counts: where it stands at the end of the
    revs is chance.
    """
    if one.cut:
        return one.held > level + least * FAR_KPA
    if one.swings >= SWINGS:
        first = next((k for k, crest in enumerate(one.crests) if crest > level), len(one.crests))
        usual = median(one.crests[first:]) if one.crests[first:] else one.settled
        return max(usual, one.settled) > level + least * FAR_KPA
    return max(one.settled, one.top) > level + least * FAR_KPA


def _too_little(one: Shape, spring: float, least: float) -> bool:
    """Late, or short of the spring throughout; a throttle that is shut counts."""
    if one.cut:
        return False
    came = 1e9 if one.came_rpm is None else one.came_rpm
    late = came > START_RPM + (LATE_RPM - START_RPM) * (0.7 + 0.3 * least)
    return late or max(one.early, one.settled) < spring - least * NEAR_KPA


def _ceiling(one: Shape, spring: float, target: float, least: float) -> bool:
    """Does the map make next to nothing beyond the spring?"""
    share = 0.3 / least
    return target > spring + 1.0 and one.peak < spring + share * (target - spring)


# The difference that a log shows beyond its noise, by channel; assumed.
_CHANNELS: Final = {
    "boost": 5.0,
    "throttle": 0.06,
    "duty": 0.06,
    "mixture": 0.03,
    "road": 1.5,
}
Curves = dict[tuple[int, str, int], tuple[float, float]]


def curves(rows: Sequence[Row], *others: Sequence[Row]) -> Curves:
    """Mean and highest value by part of the session, channel and stretch of engine speed.

    Of all logs together.
    """
    values_of: dict[tuple[int, str, int], list[float]] = {}
    for row in rows:
        values = {
            "boost": read_kpa(row),
            "throttle": row.throttle,
            "duty": row.duty,
            "mixture": row.mixture / 14.7,
            "road": row.road_m_s,
        }
        for name, value in values.items():
            values_of.setdefault((row.segment, name, int(row.rpm // 500)), []).append(value)
    found = {key: (sum(listed) / len(listed), max(listed)) for key, listed in values_of.items()}
    for number, other in enumerate(others, 1):
        for (part, name, stretch), heights in curves(other).items():
            found[100 * number + part, name, stretch] = heights
    return found


def differ(one: Curves, other: Curves) -> bool:
    """Do the logs of two cars in the same session differ measurably?

    Parts of the session are compared at the same engine speed, key-on and idle as they are. A
    single stretch may be chance, so three must differ, or one car must get further than the other.
    """
    far = 0
    for key in one.keys() & other.keys():
        (mean, top), (usual, height) = one[key], other[key]
        least = _CHANNELS[key[1]]
        if abs(mean - usual) > least or abs(top - height) > 2.0 * least:
            far += 1
    missing = sum(1 for key in one.keys() ^ other.keys() if key[1] == "boost" and key[2] > 6)
    return far >= 3 or missing >= 2
