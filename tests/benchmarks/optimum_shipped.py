"""The quick plan against the exact optimum on what is shipped, cut down.

Every complaint on the setup external-single, as if the knowledge held only its likeliest 8 causes,
with the 8 most valuable of the checks that may be done first. Each check pays for its own
preparations, since the optimum does not share them. Answers that tell the causes apart in the same
way are taken together, which changes no plan's cost and keeps the programme small.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from expert.case.consult import Consultant
from expert.case.state import State, fold
from expert.reasoning.plan import Costs, Problem, Test, problem_of
from tests.benchmarks.figure import Figure
from tests.benchmarks.plan_ratio import SIZE, judged
from tests.benchmarks.shipped import cars, knowledge

# Shares that differ by less than this do not tell two answers apart.
_SAME: Final = 1e-9

SETUP = "external-single"


def figures() -> Iterator[Figure]:
    states = {name: fold(events) for name, events in cars()}
    problems = {name: cut_down(state) for name, state in states.items() if state.setup == SETUP}
    yield from judged("shipped complaints", problems)


def cut_down(state: State) -> Problem:
    """The problem of a shipped car whose likeliest causes are all that there are."""
    likeliest = Consultant(knowledge()).consult(state).order[:SIZE]
    causes = {name: knowledge().causes[name] for name in likeliest}
    consultation = Consultant(replace(knowledge(), causes=causes)).consult(state)
    offers = consultation.offers[:SIZE]
    costs = Costs(
        np.array([offer.minutes for offer in offers]),
        consultation.repair_cost,
        knowledge().policy.workshop_minutes,
    )
    predictions = [consultation.predictions[offer.id] for offer in offers]
    problem = problem_of(consultation.belief, predictions, costs)
    return replace(problem, tests=tuple(_merged(test) for test in problem.tests))


def _merged(test: Test) -> Test:
    """The check with answers taken together that say the same, and without impossible ones."""
    kept: list[np.ndarray] = []
    for row in np.column_stack([test.likelihood, test.unlisted]):
        if row.max() <= _SAME:
            continue
        for k, other in enumerate(kept):
            if np.abs(row / row.sum() - other / other.sum()).max() <= _SAME:
                kept[k] = other + row
                break
        else:
            kept.append(row)
    rows = np.stack(kept)
    return Test(rows[:, :-1], rows[:, -1], test.cost)
