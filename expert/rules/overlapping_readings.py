"""Readings that call a car sound for values by which another calls it unsound."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import inf

from expert.model import Bounds, LogReading, Policy
from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    checks, policy = subject.knowledge.checks, subject.knowledge.policy
    by_check: dict[str, list[tuple[str, LogReading]]] = {}
    for name, reading in subject.knowledge.readings.items():
        if reading.check is not None:
            by_check.setdefault(reading.check, []).append((name, reading))
    for check, readings in by_check.items():
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


_CHECK = """\
old-log:
  ask: What does boost do in an old log?
  minutes: 3
  answers: {right: As it should, high: Too high}
  healthy: {high: .01}
  given:
    hose-off: {high: .9}
  basis: common practice
"""
_READINGS = """\
log-right:
  check: old-log
  answer: right
  when:
    peak-boost-kpa: {up-to: %s}
  basis: common practice
log-high:
  check: old-log
  answer: high
  when:
    peak-boost-kpa: {above: 90}
  basis: common practice
"""

RULE = Rule(
    id="overlapping-readings",
    severity="warning",
    summary="a reading calls sound what another reading of the check does not",
    why="The graver answer stands then, and nobody sees that the values were meant to be sound.",
    wrong={"checks/old.yaml": _CHECK, "readings.yaml": _READINGS % 100},
    right={"checks/old.yaml": _CHECK, "readings.yaml": _READINGS % 90},
    find=_find,
)
