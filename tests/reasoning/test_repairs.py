"""The order of repairs and its expected cost, against textbook exercises."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.repairs import FEW_ROWS, cost_in_order, expected_cost, repair_order


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
    found = expected_cost(np.array([p]), np.array([unlisted]), np.array(cost), way_out)[0]
    assert found == pytest.approx(brute_force(p, cost, way_out, unlisted), rel=1e-9, abs=1e-9)


def test_rows_are_weighed_independently() -> None:
    share = np.array([[0.5, 0.1], [0.0, 0.3]])
    unlisted, cost = np.array([0.0, 0.1]), np.array([30.0, 20.0])
    both = expected_cost(share, unlisted, cost, 100.0)
    for row in range(2):
        alone = expected_cost(share[row : row + 1], unlisted[row : row + 1], cost, 100.0)
        assert both[row] == pytest.approx(alone[0])


@pytest.mark.parametrize("rows", [1, FEW_ROWS, FEW_ROWS + 1, 3 * FEW_ROWS])
def test_few_rows_cost_to_the_last_bit_what_they_cost_among_many(rows: int) -> None:
    rng = np.random.default_rng(7)
    share, unlisted = rng.random((rows, 9)) ** 6, rng.random(rows)
    cost = rng.random(9) * 90.0 + 5.0
    whole = expected_cost(share, unlisted, cost, 200.0)
    alone = [expected_cost(share[[k]], unlisted[[k]], cost, 200.0)[0] for k in range(rows)]
    assert whole.tolist() == alone


def test_overlapping_repairs_of_a_textbook() -> None:
    # F. V. Jensen and T. D. Nielsen, Bayesian Networks and Decision Graphs, 2nd ed. 2007, exercise
    # of chapter 9 (inputs as quoted by a second source; the book prints no outputs, these were
    # computed by enumeration): program .8, virus .15, hardware .05.
    share = np.array([0.8, 0.15, 0.05])
    cost = np.array([1.0, 2.0, 25.0, 500.0])
    fixes = np.array([[1.0, 0, 0], [0, 0.95, 0], [0.99, 0.99, 0], [1.0, 1.0, 1.0]])
    assert cost_in_order(share, cost, fixes, [0, 1, 2, 3]) == pytest.approx(27.875)
    assert cost_in_order(share, cost, fixes, [1, 0, 2, 3]) == pytest.approx(29.3325)
    assert cost_in_order(share, cost, fixes, [0, 1, 3]) == pytest.approx(30.15)


@pytest.mark.parametrize(
    ("order", "cost"),
    [("213", 1.55), ("231", 1.65), ("123", 1.70), ("321", 1.90), ("132", 1.95), ("312", 2.05)],
)
def test_every_order_of_a_published_example(order: str, cost: float) -> None:
    # T. J. Ottosen and F. V. Jensen, "A* wars: the fight for improving A* search for
    # troubleshooting with dependent actions", PGM 2010, example 1 (from memory).
    share = np.array([0.20, 0.25, 0.40, 0.15])
    fixes = np.array([[1.0, 1, 0, 0], [1, 0, 1, 0], [1, 0, 0, 1]])
    steps = [int(digit) - 1 for digit in order]
    assert cost_in_order(share, np.ones(3), fixes, steps) == pytest.approx(cost)


def test_independent_tests_until_the_first_failure() -> None:
    # An operations-research exercise (as quoted by a second source): tests that cost 6.50 and
    # 8.00 and fail with .15 and .10 cost 13.30 in that order and 13.85 the other way round.
    cost = np.array([6.50, 8.00])
    first = np.array([0.15, 0.85 * 0.10])
    second = np.array([0.90 * 0.15, 0.10])
    assert cost_in_order(first, cost, np.eye(2), [0, 1]) == pytest.approx(13.30)
    assert cost_in_order(second, cost, np.eye(2), [1, 0]) == pytest.approx(13.85)


@given(st.floats(0.01, 0.99), st.floats(1, 50), st.floats(1, 50))
def test_of_two_causes_the_first_to_look_at(p: float, c1: float, c2: float) -> None:
    # S. Ross, A First Course in Probability (as quoted by a second source): of two causes with
    # probabilities p and 1-p and costs C1, C2 look at the first first iff (1-p) C1 <= p C2;
    # repair costs cancel, so they are not among the inputs.
    share, cost = np.array([p, 1 - p]), np.array([c1, c2])
    one_two = cost_in_order(share, cost, np.eye(2), [0, 1])
    two_one = cost_in_order(share, cost, np.eye(2), [1, 0])
    margin = p * c2 - (1 - p) * c1
    assert two_one - one_two == pytest.approx(margin, abs=1e-9)
    if abs(margin) > 1e-9:
        assert (repair_order(share, cost)[0] == 0) == (margin > 0)
