"""Checks that no tree asks, and that are never the most valuable thing to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from expert.case.offer import minutes_of
from expert.reasoning.channels import Floats
from expert.reasoning.network import History, seen_weight
from expert.reasoning.repairs import expected_cost
from expert.workbench.gap_cars import Car, reached
from expert.workbench.gap_pairs import Numbers, often_together


def never_chosen(car: Car) -> Iterator[str]:
    """Checks of the car that are in no tree, and that no value would choose.

    They are judged by the minutes that each check of the car saves, after its own. Each complaint
    is all that is known; or two causes that show one symptom are left, equally likely, with all
    preparations to be done or with none. One fault is taken to be there, and that it is listed.
    """
    knowledge = car.table.knowledge
    asked = {name for one in knowledge.symptoms.values() for name in reached(one, car.parts)}
    idle = [number for number, check in enumerate(car.checks) if check not in asked]
    checks = [knowledge.checks[check] for check in car.checks]
    unprepared = np.array([minutes_of(knowledge, check, ()) for check in checks])
    prepared = np.array([minutes_of(knowledge, check, knowledge.preparations) for check in checks])
    chosen: set[int] = set()
    if idle:
        saved = _saved_on_pairs(car, idle, prepared[idle])
        chosen |= _best(saved - prepared[:, None]) | _best(saved - unprepared[:, None])
    left = [number for number in idle if number not in chosen]
    if left:
        chosen |= _best(_saved_at_first(car, left, unprepared[left]) - unprepared[:, None])
    yield from (car.checks[number] for number in left if number not in chosen)


def _best(values: Floats) -> set[int]:
    """The checks that are worth most in some column of (checks, states), and worth anything."""
    if not values.size:
        return set()
    chosen = ((values == values.max(axis=0)) & (values > 0.0)).any(axis=1)
    return set(np.nonzero(chosen)[0].tolist())


def _repairs(car: Car) -> Floats:
    policy = car.table.knowledge.policy
    causes = [car.table.knowledge.causes[cause] for cause in car.causes]
    return np.array([cause.minutes + policy.parts_minutes[cause.parts] for cause in causes])


def _saved_on_pairs(car: Car, idle: Sequence[int], minutes: Floats) -> Floats:
    """Minutes that each check saves where two causes are left, (checks, pairs).

    Only for pairs on which one of the idle checks saves more than its own minutes.
    """
    repair, way_out = _repairs(car), car.table.knowledge.policy.workshop_minutes

    def saved(numbers: Sequence[int], first: Numbers, second: Numbers) -> Floats:
        pair = (repair[first], repair[second])
        half = np.full((1, len(first)), 0.5)
        now = cost_of_two(half, half, pair, way_out)[0]
        after = [
            cost_of_two(shares[:, first] / 2.0, shares[:, second] / 2.0, pair, way_out).sum(axis=0)
            for shares in (car.answers[number] for number in numbers)
        ]
        found: Floats = now - np.array(after)
        return found

    first, second = np.nonzero(often_together(car, np.ones(len(car.causes), bool)))
    kept = (saved(idle, first, second) > minutes[:, None]).any(axis=0)
    return saved(range(len(car.checks)), first[kept], second[kept])


def cost_of_two(
    one: Floats, other: Floats, repair: tuple[Floats, Floats], way_out: float
) -> Floats:
    """Expected minutes where one of two causes is there, weighted by probability.

    ``one`` and ``other`` (answers, pairs) are P(answer, cause); ``repair`` are the minutes of their
    repairs. Either is tried first, and the other or the way out follows; or it is taken at once.
    """
    both = one + other
    first = repair[0] * both + np.minimum(repair[1], way_out) * other
    second = repair[1] * both + np.minimum(repair[0], way_out) * one
    least: Floats = np.minimum(np.minimum(first, second), way_out * both)
    return least


def _saved_at_first(car: Car, idle: Sequence[int], minutes: Floats) -> Floats:
    """The same when only the complaint is known, (checks, symptoms)."""
    knowledge = car.table.knowledge
    repair, way_out = _repairs(car), knowledge.policy.workshop_minutes
    seen = [seen_weight(knowledge.causes[name], knowledge.policy, History()) for name in car.causes]

    def saved(numbers: Sequence[int], share: Floats) -> Floats:
        now = expected_cost(share[None], np.zeros(1), repair, way_out)
        stack = np.concatenate([car.answers[number] for number in numbers])
        after = expected_cost(stack * share, np.zeros(len(stack)), repair, way_out)
        counts = [len(car.answers[number]) for number in numbers]
        found: Floats = now - np.add.reduceat(after, np.cumsum([0, *counts[:-1]]))
        return found

    shares = [np.array(seen) * shows for shows in car.shows]
    shares = [share / share.sum() for share in shares if share.any()]
    found = [
        saved(range(len(car.checks)), share)
        for share in shares
        if (saved(idle, share) > minutes).any()
    ]
    return np.array(found).reshape(-1, len(car.checks)).T
