"""Scores of rankings on cases left out."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import numpy as np
import pytest

from expert.case.consult import Consultant
from expert.case.events import Answered
from expert.reasoning.belief import Belief
from expert.workbench.learn_read import Closed, closed
from expert.workbench.learn_score import (
    PARTS,
    Held,
    compared,
    forecast,
    forecasts,
    part_of,
    score,
    shares,
)
from tests.small import knowledge
from tests.workbench.journals import story

BOOK = knowledge()


def case(number: int, cause: str = "ring-missing", answer: str = "ring") -> Closed:
    key = hashlib.sha256(str(number).encode()).digest()[:16]
    found = closed(story(cause, Answered("lamp", (answer,))), key, BOOK)
    assert isinstance(found, Closed)
    return found


def test_the_shares_of_a_belief_sum_to_one() -> None:
    pair = np.array([[0.0, 0.2, 0.0], [0.2, 0.0, 0.0], [0.0, 0.0, 0.0]])
    belief = Belief(np.array([0.4, 0.1, 0.2]), pair, 0.1)
    assert shares(belief) == pytest.approx([0.5, 0.2, 0.2, 0.1])
    found = forecast(belief, 1)
    # By hand: .5^2 + .2^2 + .2^2 + .1^2 = .34, less .4, plus 1.
    assert (found.hit, found.squares) == (pytest.approx(0.2), pytest.approx(0.94))
    # The first cause is there in .4 and in the pair's .2.
    assert (found.first, found.right) == (pytest.approx(0.6), False)


def test_a_forecast_is_what_the_ranking_says() -> None:
    one = case(1)
    (found,) = forecasts(BOOK, [one])
    picture = Consultant(BOOK).consult(one.before)
    assert picture.order[0] == "ring-missing"
    assert found.right
    assert found.first == pytest.approx(picture.chance("ring-missing"))


def test_the_score_is_the_mean_over_cases() -> None:
    right, wrong = forecasts(BOOK, [case(1), case(2, "charge-leak", "ring")])
    total = score([right, wrong])
    assert total.cases == 2
    assert total.log == pytest.approx(-(np.log(right.hit) + np.log(wrong.hit)) / 2)
    assert total.right == 0.5
    assert sum(one.count for one in total.bins) == 2


def test_parts_depend_on_the_case_alone_and_are_about_even() -> None:
    parts = [part_of(case(number)) for number in range(200)]
    assert parts == [part_of(case(number)) for number in range(200)]
    assert set(parts) == set(range(PARTS))
    assert min(np.bincount(parts)) > 20


def test_of_very_many_cases_always_the_same_are_scored() -> None:
    cases = [case(number) for number in range(60)]
    there, back = Held(10), Held(10)
    for one in cases:
        there.offer(one)
    for one in reversed(cases):
        back.offer(one)
    kept = [one.key for part in range(PARTS) for one in there.part(part)]
    assert kept == [one.key for part in range(PARTS) for one in back.part(part)]
    lowest = sorted(cases, key=lambda one: one.key[8:])[:10]
    assert set(kept) == {one.key for one in lowest}


def test_a_case_is_ranked_by_what_the_other_parts_taught() -> None:
    held = Held()
    for number in range(12):
        held.offer(case(number))
    used: list[int] = []

    def without(number: int) -> type(BOOK):  # type: ignore[valid-type]
        used.append(number)
        # As if the lamp had been found to say nothing.
        lamp = replace(BOOK.checks["lamp"], given={}, healthy={})
        return replace(BOOK, checks={**BOOK.checks, "lamp": lamp})

    before, after = compared(BOOK, without, held)
    assert used == [number for number in range(PARTS) if held.part(number)]
    assert before.cases == after.cases == 12
    assert before.log < after.log
