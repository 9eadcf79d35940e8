"""Readings that call a car sound for values by which another calls it unsound."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import inf

from expert.model import Bounds, LogReading, Policy
from expert.rules.readings import EXAMPLE, by_check, example
from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    checks, policy = subject.knowledge.checks, subject.knowledge.policy
    for check, readings in by_check(subject.knowledge).items():
        sound = checks[check].sound_answer()
        for (name, one), (other_name, other) in product(readings, readings):
            parts = {*one.needs, *other.needs}
            if one.answer != sound or other.answer == sound or not subject.cars.having_all(parts):
                continue
            if _meet(one, other, policy):
                place = subject.places.of("reading", name)
                message = (
                    f"the same values can be '{sound}' here and '{other.answer}' in "
                    f"'{other_name}'; part them by a bound on one of the values"
                )
                yield Hit(place, message)


def _meet(one: LogReading, other: LogReading, policy: Policy) -> bool:
    """Can one set of values lie within the bounds of both?"""
    first, second = _all(one), _all(other)
    for feature in first.keys() & second.keys():
        low_one, high_one = _edges(first[feature], policy)
        low_other, high_other = _edges(second[feature], policy)
        if max(low_one, low_other) >= min(high_one, high_other):
            return False
    return True


def _all(reading: LogReading) -> dict[str, Bounds]:
    return {**reading.if_measured, **reading.when}


def _edges(bounds: Bounds, policy: Policy) -> tuple[float, float]:
    low, high = bounds.edges(policy.overboost_margin_kpa)
    return (-inf if low is None else low), (inf if high is None else high)


_HIGH = example("high", "above: 90")

RULE = Rule(
    id="overlapping-readings",
    severity="warning",
    summary="a reading calls sound what another reading of the check does not",
    why="The graver answer stands then, and nobody sees that the values were meant to be sound.",
    wrong={"checks/old.yaml": EXAMPLE, "readings.yaml": example("right", "up-to: 100") + _HIGH},
    right={"checks/old.yaml": EXAMPLE, "readings.yaml": example("right", "up-to: 90") + _HIGH},
    find=_find,
)
