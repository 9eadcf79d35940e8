"""Checks that nothing chooses: ``expert/workbench/gap_idle.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.repairs import expected_cost
from expert.workbench.gap_idle import cost_of_two, never_chosen
from tests.workbench.gap_knowledge import BAD, car, cause, check

TWO = {"a": cause(minutes=120.0), "b": cause(minutes=100.0)}
BOTH = {"lazy": {"a": 0.9, "b": 0.9}}
ROW = {"a": BAD}


def test_what_another_tells_in_less_time_is_never_chosen() -> None:
    checks = {"look": check(ROW, minutes=5.0), "toil": check(ROW, minutes=20.0)}
    assert list(never_chosen(car(TWO, checks, BOTH))) == ["toil"]


def test_what_a_tree_asks_is_chosen() -> None:
    checks = {"look": check(ROW, minutes=5.0), "toil": check(ROW, minutes=20.0)}
    assert not list(never_chosen(car(TWO, checks, BOTH, asked=("look", "toil"))))


def test_what_tells_more_is_chosen_where_it_is_worth_its_minutes() -> None:
    look = check({"a": {"bad": 0.5}}, minutes=5.0)
    for minutes, idle in ((15.0, []), (60.0, ["toil"])):
        checks = {"look": look, "toil": check({"a": {"bad": 0.99}}, minutes=minutes)}
        assert list(never_chosen(car(TWO, checks, BOTH, asked=("look",)))) == idle


def test_a_preparation_may_be_done_already() -> None:
    checks = {
        "look": check(ROW, minutes=5.0),
        "toil": check(ROW, minutes=4.0, prepare=("gate-off",)),
    }
    assert not list(never_chosen(car(TWO, checks, BOTH)))


def test_what_is_not_worth_its_minutes_is_never_chosen() -> None:
    quick = {name: cause(minutes=1.0) for name in TWO}
    assert list(never_chosen(car(quick, {"look": check(ROW)}, BOTH))) == ["look"]


def test_a_check_that_only_pays_with_many_causes_left_is_chosen() -> None:
    names = [f"cause-{k}" for k in range(6)]
    causes = {name: cause(minutes=10.0) for name in names}
    halves = check(dict.fromkeys(names[:3], BAD), minutes=5.0)
    one = car(causes, {"halves": halves}, {"lazy": dict.fromkeys(names, 0.9)})
    # Two causes left: at best 10 + 10/2 minutes without it, and 10 with it.
    assert not list(never_chosen(one))


def test_nothing_to_choose_from() -> None:
    assert not list(never_chosen(car({}, {}, {})))
    assert list(never_chosen(car({}, {"look": check({})}, BOTH))) == ["look"]


minutes = st.floats(1.0, 500.0)
chances = st.floats(0.0, 1.0)


@given(chances, chances, minutes, minutes, minutes)
def test_two_causes_cost_what_the_plan_says(
    one: float, other: float, first: float, second: float, way_out: float
) -> None:
    found = cost_of_two(
        np.array([[one]]), np.array([[other]]), (np.array([first]), np.array([second])), way_out
    )
    expected = expected_cost(
        np.array([[one, other]]), np.zeros(1), np.array([first, second]), way_out
    )
    assert found[0, 0] == pytest.approx(expected[0])
