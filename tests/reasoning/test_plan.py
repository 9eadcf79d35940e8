"""What to do next, on problems small enough to work out by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.belief import Belief, Question, marginals, normalised, predict, prior
from expert.reasoning.channels import Floats, Terms, graded
from expert.reasoning.plan import (
    CAUSES_KEPT,
    Costs,
    Problem,
    Test,
    actions,
    kept_causes,
    one_step_values,
    problem_of,
    repairs_alone,
)


def question(share: list[list[float]], leak: list[float]) -> Question:
    return Question(tuple(graded(np.array(share), np.array(leak))), np.array(leak), 0.0)


def values(p: list[float], questions: list[Question], own: list[float], cost: Floats) -> Floats:
    belief = prior(np.array(p), np.zeros(len(p), bool), 0.0, 0.0)
    return one_step_values(belief, predict(belief, questions), Costs(np.array(own), cost, 300.0))


def test_a_perfect_check_saves_what_knowing_saves() -> None:
    # Two causes, .5 each, repairs of 100 and 40 minutes. Without the check: 40 first, then 100
    # with .5, 90 in all. Knowing which: .5 * 40 + .5 * 100 = 70. So it saves 20, less its cost.
    cost = np.array([100.0, 40.0])
    perfect = question([[1.0, 0.0], [0.0, 1.0]], [1.0, 0.0])
    assert values([0.5, 0.5], [perfect], [5.0], cost) == pytest.approx([15.0])


def test_a_check_that_changes_nothing_is_worth_exactly_minus_its_cost() -> None:
    cost = np.array([100.0, 40.0])
    blind = question([[0.7, 0.7], [0.3, 0.3]], [1.0, 0.0])
    assert values([0.5, 0.5], [blind], [5.0], cost) == pytest.approx([-5.0])


@given(
    st.lists(st.floats(0.01, 1), min_size=3, max_size=3),
    st.lists(st.floats(0, 1), min_size=3, max_size=3),
    st.floats(0, 0.5),
)
def test_information_is_never_worth_less_than_nothing_before_its_cost(
    p: list[float], shares: list[float], leak: float
) -> None:
    shown = np.array(shares)
    asked = question([list(1 - shown), list(shown)], [1 - leak, leak])
    assert values(p, [asked], [0.0], np.array([30.0, 60.0, 90.0]))[0] >= -1e-9


def test_a_nominal_check_counts_its_rare_joint_readings() -> None:
    belief = prior(np.array([0.5, 0.5]), np.zeros(2, bool), 0.0, 0.1)
    partial = Question((Terms(np.array([0.4]), np.ones((1, 2))),) * 2, np.array([0.4, 0.4]), 0.0)
    costs = Costs(np.zeros(1), np.array([50.0, 90.0]), 300.0)
    found = one_step_values(belief, predict(belief, [partial]), costs)
    assert found == pytest.approx([0.0], abs=1e-9)


def test_no_checks_no_values() -> None:
    belief = prior(np.array([1.0]), np.zeros(1, bool), 0.0, 0.0)
    assert one_step_values(belief, [], Costs(np.zeros(0), np.ones(1), 300.0)).shape == (0,)


def two_causes(*tests: Test, saved: Floats | None = None) -> Problem:
    return Problem(np.array([0.5, 0.5]), 0.0, np.array([100.0, 40.0]), 300.0, tests, saved)


PERFECT = np.eye(2)
HALF = np.array([0.5, 0.5])


def test_actions_are_weighed_with_what_may_follow() -> None:
    found = {(action.kind, action.index): action.expected for action in actions(two_causes())}
    assert found[("repair", 1)] == pytest.approx(90.0)
    assert found[("repair", 0)] == pytest.approx(120.0)
    assert found[("way-out", 0)] == pytest.approx(300.0)
    assert repairs_alone(two_causes()) == pytest.approx(90.0)

    best = actions(two_causes(Test(PERFECT, HALF, 5.0)))[0]
    assert (best.kind, best.index) == ("check", 0)
    assert best.expected == pytest.approx(75.0)


def test_a_repair_may_come_before_a_check_that_is_still_worth_it() -> None:
    # Three causes; the first is cheap to mend and likely. A check that tells the two dear ones
    # apart is worth its minutes only if that repair has failed.
    tells = Test(np.array([[0.5, 1.0, 0.0], [0.5, 0.0, 1.0]]), HALF, 10.0)
    problem = Problem(
        np.array([0.6, 0.2, 0.2]), 0.0, np.array([10.0, 100.0, 100.0]), 900.0, (tells,)
    )
    found = actions(problem)
    assert (found[0].kind, found[0].index) == ("repair", 0)
    # 10 + .4 * (10 + 100): the check comes after the failed repair.
    assert found[0].expected == pytest.approx(54.0)


def test_checks_that_share_a_preparation_pay_it_once() -> None:
    # Two checks, each worthless alone (they tell one bit together), 30 minutes of preparation.
    left = Test(np.array([[1.0, 0.0, 1.0, 0.0], [0.0, 1.0, 0.0, 1.0]]), HALF, 35.0)
    right = Test(np.array([[1.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 1.0]]), HALF, 35.0)
    quarter = np.full(4, 0.25)
    cost = np.full(4, 100.0)
    apart = Problem(quarter, 0.0, cost, 2000.0, (left, right))
    shared = Problem(
        quarter, 0.0, cost, 2000.0, (left, right), saved=np.array([[35.0, 30.0], [30.0, 35.0]])
    )
    first = {action.kind: action.expected for action in reversed(actions(apart))}
    saved = {action.kind: action.expected for action in reversed(actions(shared))}
    # Both checks, then the right repair: 35 + 35 + 100, and 35 + 5 + 100 with the work shared.
    assert first["check"] == pytest.approx(170.0)
    assert saved["check"] == pytest.approx(140.0)


@given(
    st.lists(st.floats(0.01, 1), min_size=3, max_size=3),
    st.lists(st.floats(1, 100), min_size=3, max_size=3),
    st.lists(st.floats(0, 1), min_size=3, max_size=3),
    st.permutations(range(3)),
)
def test_relabelling_changes_nothing(
    p: list[float], cost: list[float], shown: list[float], order: list[int]
) -> None:
    share, repair, seen = np.array(p) / sum(p), np.array(cost), np.array(shown)

    def cheapest(index: list[int]) -> float:
        test = Test(np.stack([1 - seen[index], seen[index]]), HALF, 3.0)
        return actions(Problem(share[index], 0.0, repair[index], 300.0, (test,)))[0].expected

    assert cheapest(order) == pytest.approx(cheapest([0, 1, 2]), rel=1e-9)


@given(st.lists(st.floats(0.01, 1), min_size=2, max_size=2), st.floats(0, 0.5))
def test_a_free_perfect_check_is_never_refused(p: list[float], unlisted: float) -> None:
    share = np.array(p) / sum(p) * (1 - unlisted)
    test = Test(np.vstack([np.eye(2), np.zeros(2)]), np.array([0.0, 0.0, 1.0]), 0.0)
    problem = Problem(share, unlisted, np.array([30.0, 60.0]), 300.0, (test,))
    found = actions(problem)
    check = next(action for action in found if action.kind == "check")
    assert check.expected <= found[0].expected + 1e-9
    assert check.expected <= repairs_alone(problem) + 1e-9


def many(n: int) -> Belief:
    single = np.arange(1.0, n + 1.0)
    return normalised(single, np.zeros((n, n)), 10.0)


def test_a_problem_keeps_the_likeliest_causes_and_all_the_probability() -> None:
    belief = many(40)
    asked = question([[0.2] * 40, [0.8] * 40], [0.9, 0.1])
    costs = Costs(np.array([5.0]), np.arange(1.0, 41.0), 300.0)
    problem = problem_of(belief, predict(belief, [asked]), costs)
    assert kept_causes(belief) == list(range(40 - CAUSES_KEPT, 40))
    assert problem.mass == pytest.approx(1.0)
    assert problem.share == pytest.approx(marginals(belief)[-CAUSES_KEPT:])
    assert problem.repair_cost.tolist() == list(range(41 - CAUSES_KEPT, 41))
    for test in problem.tests:
        assert test.likelihood.sum(axis=0) == pytest.approx(np.ones(CAUSES_KEPT))
        assert test.unlisted.sum() == pytest.approx(1.0)


def test_a_problem_of_single_faults_agrees_with_the_exact_one_step_value() -> None:
    belief = prior(np.array([3.0, 1.0, 2.0]), np.zeros(3, bool), 0.0, 0.1)
    asked = question([[0.2, 0.9, 0.5], [0.8, 0.1, 0.5]], [0.95, 0.05])
    costs = Costs(np.array([5.0]), np.array([30.0, 80.0, 120.0]), 200.0)
    foreseen = predict(belief, [asked])
    problem = problem_of(belief, foreseen, costs)
    after = sum(repairs_alone(problem.after_answer(0, answer)) for answer in range(3))
    saved = repairs_alone(problem) - after - 5.0
    assert one_step_values(belief, foreseen, costs) == pytest.approx([saved])
