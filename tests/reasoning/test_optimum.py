"""The exact optimum against published decision problems, and the quick plan against the optimum."""

from __future__ import annotations

import numpy as np
import pytest

from expert.reasoning.channels import Floats
from expert.reasoning.optimum import (
    Trouble,
    entropy_bits,
    information_bits,
    optimum,
    planned,
    trouble,
)
from expert.reasoning.plan import Problem, Test


def decision(
    share: list[float],
    payoffs: list[list[float]],
    tests: list[tuple[list[list[float]], float]] | None = None,
) -> Trouble:
    """A decision among ways to end, given as payoffs (decisions, states), with tests to buy."""
    tests = tests or []
    return Trouble(
        share=np.array(share),
        likelihoods=tuple(np.array(likelihood) for likelihood, _ in tests),
        check_cost=np.array([cost for _, cost in tests]),
        repair_cost=np.zeros(0),
        fixes=np.zeros((0, len(share))),
        ends=-np.array(payoffs),
    )


def repairs(share: list[float], cost: list[float], fixes: list[list[float]]) -> Trouble:
    return Trouble(
        share=np.array(share),
        likelihoods=(),
        check_cost=np.zeros(0),
        repair_cost=np.array(cost),
        fixes=np.array(fixes),
        ends=np.full((1, len(share)), 1e6),
    )


def test_overlapping_repairs_of_a_textbook() -> None:
    # F. V. Jensen and T. D. Nielsen, Bayesian Networks and Decision Graphs, 2nd ed. 2007, exercise
    # of chapter 9 (inputs as quoted by a second source; outputs by enumeration).
    fixes = [[1.0, 0, 0], [0, 0.95, 0], [0.99, 0.99, 0], [1.0, 1.0, 1.0]]
    case = repairs([0.8, 0.15, 0.05], [1.0, 2.0, 25.0, 500.0], fixes)
    assert optimum(case) == pytest.approx(27.875)


def test_the_optimum_finds_what_probability_over_cost_misses() -> None:
    # Constructed, no published source: C has the best p/C, but A and B together cover all.
    share = [0.2, 0.3, 0.3, 0.2]
    fixes = [[1.0, 1, 0, 0], [0, 0, 1.0, 1], [0, 1.0, 1, 0]]
    assert max(range(3), key=lambda k: float(np.array(fixes[k]) @ share)) == 2
    assert optimum(repairs(share, [1.0, 1.0, 1.0], fixes)) == pytest.approx(1.5)


# R. A. Howard's used-car buyer, inputs as in R. Qi, N. Zhang and D. Poole, "Solving asymmetric
# decision problems with influence diagrams", UAI 1994, section 3.1. States: peach, lemon.
# Decisions: leave it, buy, buy with a guarantee. A peach has a defect in 1 of 10 subsystems.
CAR = ([0.8, 0.2], [[0.0, 0.0], [60.0, -100.0], [20.0, 40.0]])
STEERING = ([[0.9, 0.4], [0.1, 0.6]], 9.0)
FUEL_AND_ELECTRICAL = ([[0.8, 6 / 45], [0.2, 24 / 45], [0.0, 15 / 45]], 13.0)


def test_used_car_without_a_test() -> None:
    assert -optimum(decision(*CAR)) == pytest.approx(28.0)


def test_used_car_with_one_test() -> None:
    assert -optimum(decision(*CAR, [STEERING])) == pytest.approx(32.60)
    # Published as 32.87, from memory.
    assert -optimum(decision(*CAR, [FUEL_AND_ELECTRICAL])) == pytest.approx(32.8667, abs=1e-4)


def test_used_car_with_a_second_test_after_the_first() -> None:
    # Transmission for 10, then if wanted the differential for 4, drawn from what is left.
    first = {0: [0.9, 0.4], 1: [0.1, 0.6]}
    second = {0: [[8 / 9, 3 / 9], [1 / 9, 6 / 9]], 1: [[1.0, 4 / 9], [0.0, 5 / 9]]}
    share, payoffs = CAR
    total = 10.0
    for defect, likelihood in first.items():
        after = [p * q for p, q in zip(share, likelihood, strict=True)]
        total += optimum(decision(after, payoffs, [(second[defect], 4.0)]))
    assert -total == pytest.approx(32.6667, abs=1e-4)


def test_used_car_with_a_perfect_test() -> None:
    # DecisionProgramming.jl documentation, simplified used-car buyer: a perfect test for 25, 31.
    perfect = ([[1.0, 0.0], [0.0, 1.0]], 25.0)
    assert -optimum(decision(*CAR, [perfect])) == pytest.approx(31.0)


# H. Raiffa, Decision Analysis, 1968: the oil wildcatter; payoffs are net of the drilling cost
# (optimum 22.5 seen, tables from memory).
OIL = ([0.5, 0.3, 0.2], [[0.0, 0.0, 0.0], [-70.0, 50.0, 200.0]])
SOUNDINGS = [[0.6, 0.3, 0.1], [0.3, 0.4, 0.4], [0.1, 0.3, 0.5]]


def test_oil_wildcatter() -> None:
    assert -optimum(decision(*OIL)) == pytest.approx(20.0)
    assert -optimum(decision(*OIL, [(SOUNDINGS, 10.0)])) == pytest.approx(22.5)
    assert -optimum(decision(*OIL, [(SOUNDINGS, 0.0)])) == pytest.approx(32.5)
    perfect = np.eye(3).tolist()
    assert -optimum(decision(*OIL, [(perfect, 0.0)])) == pytest.approx(20.0 + 35.0)


def test_a_test_that_is_worth_exactly_nothing() -> None:
    # S. Russell and P. Norvig, Artificial Intelligence: A Modern Approach, exercise after
    # J. Pearl 1988: a car of value 2000 for 1500, good with .7, else 700 of repair.
    states, payoffs = [0.7, 0.3], [[0.0, 0.0], [500.0, -200.0]]
    passes = [[0.8, 0.35], [0.2, 0.65]]
    assert -optimum(decision(states, payoffs)) == pytest.approx(290.0)
    assert -optimum(decision(states, payoffs, [(passes, 0.0)])) == pytest.approx(290.0)
    assert -optimum(decision(states, payoffs, [(passes, 50.0)])) == pytest.approx(290.0)


def test_best_questions_are_those_of_huffman() -> None:
    # D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms, exercise 5.15 (as
    # quoted by a second source): {.25 .25 .2 .15 .15} takes 2.30 yes/no questions; H is 2.2855.
    share = [0.25, 0.25, 0.20, 0.15, 0.15]
    wrong = 1e4
    naming = (wrong * (np.eye(5) - 1.0)).tolist()
    sets = [{1, 2}, {1}, {0}, {3}, {0, 1}, {0, 3}, {2, 4}, {1, 2, 3}]
    tests = [
        ([[float(k in chosen) for k in range(5)], [float(k not in chosen) for k in range(5)]], 1.0)
        for chosen in sets
    ]
    assert optimum(decision(share, naming, tests)) == pytest.approx(2.30)
    assert entropy_bits(np.array(share)) == pytest.approx(2.2855, abs=1e-4)


# J. R. Quinlan, "Induction of decision trees", Machine Learning 1986; T. Mitchell, Machine
# Learning, 1997: the weather data, 9 days played and 5 not (the books print three digits).
WEATHER = {
    "outlook": ([[2, 3], [4, 0], [3, 2]], 0.246750),
    "humidity": ([[3, 4], [6, 1]], 0.151836),
    "wind": ([[6, 2], [3, 3]], 0.048127),
    "temperature": ([[2, 2], [4, 2], [3, 1]], 0.029223),
}


@pytest.mark.parametrize("attribute", WEATHER)
def test_information_of_the_weather_data(attribute: str) -> None:
    counts, gain = WEATHER[attribute]
    likelihood = np.array(counts) / np.array([9, 5])
    share = np.array([9, 5]) / 14
    assert information_bits(share, likelihood) == pytest.approx(gain, abs=1e-6)
    assert entropy_bits(share) == pytest.approx(0.940286, abs=1e-6)


def random_problem(seed: int, causes: int, tests: int, most_answers: int) -> Problem:
    rng = np.random.default_rng(seed)
    share = rng.dirichlet(np.ones(causes)) * 0.95
    repair_cost = rng.uniform(10.0, 150.0, causes)
    made = []
    for _ in range(tests):
        answers = int(rng.integers(2, most_answers + 1))
        likelihood: Floats = rng.dirichlet(np.full(answers, 0.5), causes).T
        none = rng.dirichlet(np.full(answers, 0.5))
        made.append(Test(likelihood, none, float(rng.uniform(2.0, 30.0))))
    return Problem(share, 0.05, repair_cost, 300.0, tuple(made))


def test_the_quick_plan_is_close_to_the_optimum_on_random_problems() -> None:
    problems = [random_problem(seed, causes=5, tests=5, most_answers=3) for seed in range(200)]
    ratios = np.array([planned(problem) / optimum(trouble(problem)) for problem in problems])
    print(
        f"plan / optimum, {len(ratios)} problems of 5 causes x 5 checks: mean {ratios.mean():.4f}, "
        f"95th percentile {np.quantile(ratios, 0.95):.4f}, worst {ratios.max():.4f}"
    )
    assert (ratios >= 1.0 - 1e-9).all()
    assert ratios.mean() <= 1.01
    assert np.quantile(ratios, 0.95) <= 1.03
    assert ratios.max() <= 1.06


def test_the_optimum_is_what_enumeration_finds_on_a_tiny_problem() -> None:
    problem = random_problem(1, causes=2, tests=1, most_answers=2)

    def best(problem: Problem) -> float:
        if problem.mass <= 0.0:
            return 0.0
        found = [problem.way_out * problem.mass]
        for k in range(2):
            if problem.share[k] > 0.0:
                own = float(problem.repair_cost[k]) * problem.mass
                found.append(own + best(problem.after_repair(k)))
        for k, test in enumerate(problem.tests):
            answers = range(len(test.unlisted))
            after = sum(best(problem.after_answer(k, answer)) for answer in answers)
            found.append(test.cost * problem.mass + after)
        return min(found)

    assert optimum(trouble(problem)) == pytest.approx(best(problem), rel=1e-12)
