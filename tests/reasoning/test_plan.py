"""Repairs in the order p/C and the worth of a check, against textbook figures."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.belief import Question, normalised, predict, prior
from expert.reasoning.channels import Floats, Terms, graded
from expert.reasoning.plan import check_values, expected_cost, repair_order

NEVER = 1e9


def one_row(p: list[float], cost: list[float], way_out: float, unlisted: float = 0.0) -> float:
    joint = np.array([p])
    return float(
        expected_cost(joint, np.array([sum(p)]), np.array([unlisted]), np.array(cost), way_out)[0]
    )


def brute_force(p: list[float], cost: list[float], way_out: float, unlisted: float) -> float:
    """The cheapest of all orders and stopping points, one by one."""
    best = np.inf
    for order in permutations(range(len(p))):
        spent, left = 0.0, sum(p) + unlisted
        best = min(best, way_out * left)
        for k in order:
            spent += cost[k] * left
            left -= p[k]
            best = min(best, spent + way_out * left)
    return float(best)


# J. B. Kadane and H. A. Simon 1977; J. Kalagnanam and M. Henrion 1990: for perfect repairs of a
# single fault the order p/C is optimal. The oracle tries every order and every stopping point.
@given(
    st.lists(st.tuples(st.floats(0.01, 1), st.floats(1, 50)), min_size=1, max_size=5),
    st.floats(0, 0.5),
    st.floats(1, 400),
)
def test_order_by_probability_over_cost_is_the_cheapest_of_all(
    items: list[tuple[float, float]], unlisted: float, way_out: float
) -> None:
    p, cost = [item[0] for item in items], [item[1] for item in items]
    found = one_row(p, cost, way_out, unlisted)
    assert found == pytest.approx(brute_force(p, cost, way_out, unlisted), rel=1e-9, abs=1e-9)


def test_repair_order_follows_probability_over_cost() -> None:
    belief = normalised(np.array([0.5, 0.3, 0.2]), np.zeros((3, 3)), 0.0)
    assert repair_order(belief, np.array([100.0, 10.0, 10.0])) == [1, 2, 0]


def test_same_repair_cost_added_keeps_the_first_check_of_two_causes() -> None:
    # S. Ross, A First Course in Probability (as quoted by a second source): of two causes with
    # check costs C1, C2 look at 1 first iff (1-p) C1 <= p C2; repair costs cancel.
    for p, c1, c2 in [(0.6, 10.0, 12.0), (0.3, 10.0, 12.0), (0.5, 10.0, 9.0)]:
        belief = normalised(np.array([p, 1 - p]), np.zeros((2, 2)), 0.0)
        order = repair_order(belief, np.array([c1, c2]))
        assert (order[0] == 0) == ((1 - p) * c1 <= p * c2)


def question(share: list[list[float]], leak: list[float]) -> Question:
    terms = graded(np.array(share), np.array(leak))
    return Question(tuple(terms), np.array(leak), 0.0)


def values(p: list[float], questions: list[Question], own: list[float], cost: Floats) -> Floats:
    belief = prior(np.array(p), np.zeros(len(p), bool), 0.0, 0.0)
    return check_values(belief, predict(belief, questions), np.array(own), cost, 300.0)


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
    half = Terms(np.array([0.4]), np.ones((1, 2)))
    partial = Question((half, half), np.array([0.4, 0.4]), 0.0)
    found = check_values(
        belief, predict(belief, [partial]), np.array([0.0]), np.array([50.0, 90.0]), 300.0
    )
    assert found == pytest.approx([0.0], abs=1e-9)


def test_no_checks_no_values() -> None:
    belief = prior(np.array([1.0]), np.zeros(1, bool), 0.0, 0.0)
    assert check_values(belief, [], np.zeros(0), np.array([1.0]), 300.0).shape == (0,)
