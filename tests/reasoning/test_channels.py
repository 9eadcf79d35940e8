"""How causes combine on one check, against published tables and exact fractions."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.reasoning.channels import Floats, Terms, graded, nominal, two_sided


def chance(terms: Terms, causes: tuple[int, ...]) -> float:
    """P(answer | exactly these causes), straight from the definition of the form."""
    return float(terms.given_also(causes).weight.sum())


def noisy_or(shares: list[float], leak: float = 0.0) -> Terms:
    """P(effect present) for causes that each show it with their share."""
    shown = np.array(shares)
    return graded(np.stack([1.0 - shown, shown]), np.array([1.0 - leak, leak]))[1]


# Russell and Norvig, Artificial Intelligence: A Modern Approach, section on efficient
# representation of conditional distributions: the fever table for cold, flu and malaria with
# inhibitors .6, .2, .1 (as quoted by a second source).
FEVER = {
    (): 0.0,
    (2,): 0.9,
    (1,): 0.8,
    (1, 2): 0.98,
    (0,): 0.4,
    (0, 2): 0.94,
    (0, 1): 0.88,
    (0, 1, 2): 0.988,
}


@pytest.mark.parametrize(("causes", "fever"), FEVER.items())
def test_noisy_or_gives_the_published_fever_table(causes: tuple[int, ...], fever: float) -> None:
    assert chance(noisy_or([0.4, 0.8, 0.9]), causes) == pytest.approx(fever, abs=1e-12)


@pytest.mark.parametrize(("causes", "fever"), FEVER.items())
def test_a_leak_acts_as_one_more_cause(causes: tuple[int, ...], fever: float) -> None:
    # The same table with a leak of .1: 1 - .9 * (1 - p), by the definition of the leaky noisy-OR.
    with_leak = chance(noisy_or([0.4, 0.8, 0.9], leak=0.1), causes)
    assert with_leak == pytest.approx(1.0 - 0.9 * (1.0 - fever), abs=1e-12)


def test_exact_fractions_of_a_noisy_or_exercise() -> None:
    # A university exercise sheet on the noisy-OR: single causes 1/6, 1/3, 7/10 give pairs
    # 4/9, 3/4, 4/5 and all three 5/6.
    terms = noisy_or([1 / 6, 1 / 3, 7 / 10])
    expected = {
        (0, 1): Fraction(4, 9),
        (0, 2): Fraction(3, 4),
        (1, 2): Fraction(4, 5),
        (0, 1, 2): Fraction(5, 6),
    }
    for causes, fraction in expected.items():
        assert chance(terms, causes) == pytest.approx(float(fraction), abs=1e-12)


def _distribution(draw: st.DrawFn, states: int) -> list[float]:
    parts = draw(st.lists(st.integers(0, 50), min_size=states, max_size=states).filter(sum))
    return [part / sum(parts) for part in parts]


@st.composite
def three_state_pair(draw: st.DrawFn) -> tuple[list[float], list[float]]:
    return _distribution(draw, 3), _distribution(draw, 3)


@given(three_state_pair())
def test_noisy_max_follows_the_published_three_state_rule(
    pair: tuple[list[float], list[float]],
) -> None:
    # Literature on causal independence: with states worst first c1 > c2 > c3 and distributions
    # a, b: P(c1) = 1-(1-a1)(1-b1); P(c2) = a2(b2+b3) + b2*a3.
    (a3, a2, a1), (b3, b2, b1) = pair
    share = np.array([[a3, b3], [a2, b2], [a1, b1]])
    healthy_first = graded(share, np.array([1.0, 0.0, 0.0]))
    worst, middle = chance(healthy_first[2], (0, 1)), chance(healthy_first[1], (0, 1))
    assert worst == pytest.approx(1 - (1 - a1) * (1 - b1), abs=1e-12)
    assert middle == pytest.approx(a2 * (b2 + b3) + b2 * a3, abs=1e-12)


def _two_sided_by_enumeration(
    low: Floats, high: Floats, leaks: tuple[Floats, Floats], both: Floats, causes: tuple[int, ...]
) -> list[float]:
    """Every combination of levels of every source, one by one."""

    def worst(table: Floats, leak: Floats) -> list[float]:
        levels = list(leak)
        for cause in causes:
            mixed = [0.0] * len(levels)
            for i, p in enumerate(levels):
                for j, q in enumerate(table[:, cause]):
                    mixed[max(i, j)] += p * q
            levels = mixed
        return levels

    low_levels, high_levels = worst(low, leaks[0]), worst(high, leaks[1])
    lows, highs = len(low_levels) - 1, len(high_levels) - 1
    result = [0.0] * (1 + lows + highs)
    for i, p in enumerate(low_levels):
        for j, q in enumerate(high_levels):
            if i == 0 and j == 0:
                result[0] += p * q
            elif j == 0:
                result[i] += p * q
            elif i == 0:
                result[lows + j] += p * q
            else:
                for k, share in enumerate(both):
                    result[k] += p * q * share
    return result


@st.composite
def two_sided_tables(draw: st.DrawFn) -> tuple[Floats, ...]:
    lows, highs = draw(st.integers(2, 3)), draw(st.integers(2, 3))
    low = np.array([_distribution(draw, lows) for _ in range(3)]).T
    high = np.array([_distribution(draw, highs) for _ in range(3)]).T
    both = np.array(_distribution(draw, lows + highs - 1))
    return (
        low,
        np.array(_distribution(draw, lows)),
        high,
        np.array(_distribution(draw, highs)),
        both,
    )


@given(two_sided_tables())
def test_two_sided_equals_plain_enumeration(tables: tuple[Floats, ...]) -> None:
    low, low_leak, high, high_leak, both = tables
    answers = two_sided(low, low_leak, high, high_leak, both)
    for causes in [(), (0,), (1, 2), (0, 1, 2)]:
        expected = _two_sided_by_enumeration(low, high, (low_leak, high_leak), both, causes)
        assert [chance(terms, causes) for terms in answers] == pytest.approx(expected, abs=1e-12)


@given(st.lists(st.lists(st.floats(0, 1), min_size=3, max_size=3), min_size=1, max_size=3))
def test_nominal_readings_of_all_flag_sets_sum_to_one(rows: list[list[float]]) -> None:
    absent, leak = np.array(rows), np.full(len(rows), 0.9)
    for causes in [(0,), (0, 2)]:
        total = sum(
            chance(nominal(absent, leak, frozenset(shown)), causes)
            for size in range(len(rows) + 1)
            for shown in combinations(range(len(rows)), size)
        )
        assert total == pytest.approx(1.0, abs=1e-12)


def test_single_pair_and_none_agree_with_the_definition() -> None:
    terms = noisy_or([0.2, 0.5, 0.9], leak=0.05)
    assert terms.of_none() == pytest.approx(0.05)
    assert terms.of_single() == pytest.approx([chance(terms, (k,)) for k in range(3)])
    pairs = terms.of_pair()
    for i, j in combinations(range(3), 2):
        assert pairs[i, j] == pytest.approx(chance(terms, (i, j)))
        assert pairs[j, i] == pairs[i, j]
