"""What the knowledge cannot tell, on every car: look-alikes, causes out of reach, idle checks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from expert.model import Cause, Check, Knowledge, Symptom
from expert.rules import ids
from expert.workbench.gap_cars import Car, cars
from expert.workbench.gap_idle import never_chosen
from expert.workbench.gap_pairs import BOTH_SHOW, Bools, look_alikes, same_symptoms
from expert.workbench.gap_reach import out_of_reach
from expert.workbench.gap_words import silences

APART, NEVER_FOUND, NEVER_CHOSEN, SAME, IMPLIED = ids.GAPS
# A pair that its best check tells apart by less is a gap; three decibans are odds of two to one.
LEAST_DECIBANS: Final = 3.0


class Where(NamedTuple):
    """A setup and its gate, if it leaves one open; ``bypasses`` is empty where it is all the same.

    That is, where each bypass layout with which a car has what the gap is about shows the gap.
    """

    setup: str
    gate: str | None
    bypasses: tuple[str, ...]


class Subject(NamedTuple):
    """What a gap is about: ``entries`` are ids of one kind, ``check`` and ``symptom`` go with them.

    ``check`` is the one that tells a pair apart best, or that is silent; ``symptom`` is the one
    whose other causes that check names. Both may be None.
    """

    gap: str
    kind: str
    entries: tuple[str, ...]
    check: str | None = None
    symptom: str | None = None


@dataclass(frozen=True, slots=True)
class Gap:
    """One thing that cannot be told.

    ``value`` is the most that was found on any car: decibans of the best check for a pair, the
    chance that is reached, how far the shares of two symptoms differ, or the share of words or
    causes; None for a check. ``total`` are decibans of all checks together, for a pair. ``rival``
    are the causes that keep one from being found, none for `unlisted`. ``excuse`` is the reason in
    the files, if there is one.
    """

    subject: Subject
    value: float | None
    total: float | None
    rival: tuple[str, ...] | None
    where: tuple[Where, ...]
    excuse: str | None


class Sight(NamedTuple):
    """A gap as seen on one car."""

    subject: Subject
    value: float | None = None
    total: float | None = None
    rival: tuple[str, ...] | None = None


def find_gaps(
    knowledge: Knowledge,
    setups: Sequence[str],
    symptom: str | None = None,
    below: float = LEAST_DECIBANS,
) -> list[Gap]:
    """Every gap on cars with these setups, one that several cars share once.

    With a symptom only causes that show it are looked at, and no checks. ``below`` is how many
    decibans the best check of a pair must tell.
    """
    whole = list(cars(knowledge, list(knowledge.setups)))
    every = [car for car in whole if car.setup in setups]
    seen: dict[tuple[str, tuple[str, ...], str | None], list[tuple[Car, Sight]]] = defaultdict(list)
    silent = [
        Sight(Subject(IMPLIED, "cause", (one.cause,), one.check, one.symptom), one.share)
        # Of some cars alone another check would be the nearest, and the gap a new one.
        for one in silences(knowledge, whole)
    ]
    for car in every:
        looked_at = _looked_at(car, symptom)
        for sight in _of_car(car, looked_at, symptom, below):
            seen[_key(sight.subject)].append((car, sight))
        chosen = {cause for cause, looked in zip(car.causes, looked_at, strict=True) if looked}
        for sight in silent:
            if chosen.issuperset(sight.subject.entries) and _has(car, sight.subject):
                seen[_key(sight.subject)].append((car, sight))
    found = [_merged(knowledge, every, sights) for sights in seen.values()]
    return sorted(found, key=_order)


class IdleExcuse(NamedTuple):
    """An entry that is excused from a gap which it does not have."""

    kind: str
    id: str
    gap: str


def idle_excuses(knowledge: Knowledge, gaps: Sequence[Gap]) -> list[IdleExcuse]:
    """Excuses that none of the gaps needs; ``gaps`` are those of all setups and symptoms."""
    needed = {
        IdleExcuse(kind, entry, gap.subject.gap)
        for gap in gaps
        for kind, entry in _excusable(gap.subject)
    }
    there = [
        IdleExcuse(kind, entry, gap)
        for kind, table in _tables(knowledge).items()
        for entry, one in table.items()
        for gap in one.excused
        if gap in ids.GAPS
    ]
    return [excuse for excuse in there if excuse not in needed]


def _order(gap: Gap) -> tuple[int, bool, str, float, tuple[str, ...], str]:
    """By kind of gap, and what is explained last.

    What tells least comes first, and what is silent although most is said.
    """
    subject, value = gap.subject, gap.value or 0.0
    if subject.gap == IMPLIED:
        value = -value
    kind = ids.GAPS.index(subject.gap)
    explained = gap.excuse is not None
    return kind, explained, subject.symptom or "", value, subject.entries, subject.check or ""


def _key(subject: Subject) -> tuple[str, tuple[str, ...], str | None]:
    """The same gap on another car, where another check may tell a pair apart best."""
    check = subject.check if subject.gap == IMPLIED else None
    return (subject.gap, subject.entries, check)


def _looked_at(car: Car, symptom: str | None) -> Bools:
    if symptom is None:
        return np.ones(len(car.causes), bool)
    number = list(car.table.knowledge.symptoms).index(symptom)
    often: Bools = car.shows[number] >= BOTH_SHOW
    return often


def _of_car(car: Car, looked_at: Bools, symptom: str | None, below: float) -> Iterator[Sight]:
    for pair in look_alikes(car, looked_at, below):
        yield Sight(Subject(APART, "cause", pair.causes, pair.check), pair.decibans, pair.total)
    for number, chance, rival in out_of_reach(car, looked_at):
        subject = Subject(NEVER_FOUND, "cause", (car.causes[number],))
        yield Sight(subject, chance, rival=rival)
    if symptom is None:
        for check in never_chosen(car):
            yield Sight(Subject(NEVER_CHOSEN, "check", (check,)))
    names = list(car.table.knowledge.symptoms)
    for one, other, differs in same_symptoms(car):
        if symptom is None or symptom in (names[one], names[other]):
            yield Sight(Subject(SAME, "symptom", (names[one], names[other])), differs)


def _has(car: Car, subject: Subject) -> bool:
    """Can a car like this have what the gap is about?"""
    if subject.kind == "symptom":
        return True
    if subject.gap == IMPLIED and subject.check not in car.checks:
        return False
    return all(
        entry in (car.causes if subject.kind == "cause" else car.checks)
        for entry in subject.entries
    )


def _merged(knowledge: Knowledge, every: Sequence[Car], sights: list[tuple[Car, Sight]]) -> Gap:
    """One gap of what was seen on several cars."""
    best = max((sight for _, sight in sights), key=lambda sight: sight.value or 0.0)
    able: dict[tuple[str, str | None], list[str]] = defaultdict(list)
    for car in every:
        if _has(car, best.subject):
            able[car.setup, car.gate].append(car.bypass)
    on: dict[tuple[str, str | None], list[str]] = defaultdict(list)
    for car, _ in sights:
        if car.bypass not in on[car.setup, car.gate]:
            on[car.setup, car.gate].append(car.bypass)
    where = tuple(
        Where(setup, gate, () if bypasses == able[setup, gate] else tuple(bypasses))
        for (setup, gate), bypasses in on.items()
    )
    return Gap(*best, where, _excuse(knowledge, best.subject))


def _excuse(knowledge: Knowledge, subject: Subject) -> str | None:
    """The first reason that one of the entries gives, or the check that is silent."""
    tables = _tables(knowledge)
    reasons = (tables[kind][entry].excused.get(subject.gap) for kind, entry in _excusable(subject))
    return next((reason for reason in reasons if reason), None)


def _tables(knowledge: Knowledge) -> Mapping[str, Mapping[str, Cause | Check | Symptom]]:
    return {"cause": knowledge.causes, "check": knowledge.checks, "symptom": knowledge.symptoms}


def _excusable(subject: Subject) -> list[tuple[str, str]]:
    """Kinds and ids of the entries in which a gap may be explained."""
    found = [(subject.kind, entry) for entry in subject.entries]
    if subject.gap == IMPLIED and subject.check is not None:
        found.append(("check", subject.check))
    return found
