"""How often causes are met, learned from cases."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.model import Knowledge, Seen
from expert.workbench.learn_count import Car, Tally
from expert.workbench.learn_weights import Choices, fitted_weights, seen_changes
from tests.small import CAUSES, knowledge

OUTER = frozenset({"turbo", "external-gate"})
INNER = frozenset({"turbo", "internal-gate"})


def alike() -> Knowledge:
    """Four causes that every car can have and that show the complaint alike."""
    seen = Seen(just_fitted="common", settled="rare")
    causes = {f"c{k}": replace(CAUSES["charge-leak"], seen=seen) for k in range(4)}
    lazy = knowledge().symptoms["lazy"]
    shown = replace(lazy, causes=dict.fromkeys(causes, 0.7))
    return knowledge(causes=causes, symptoms={"lazy": shown})


def tally(book: Knowledge, counts: dict[str, int], fresh: float) -> Tally:
    car = Car(OUTER, "lazy", (fresh,) * len(book.causes))
    return Tally(Counter({(car, cause): count for cause, count in counts.items()}))


@given(st.lists(st.integers(0, 50), min_size=4, max_size=4), st.floats(0.5, 200.0))
def test_where_all_is_alike_it_is_the_mean_of_a_dirichlet(counts: list[int], prior: float) -> None:
    # A Dirichlet prior of weight w and equal means: (w / 4 + n) / (w + all n) is the share.
    book = alike()
    told = tally(book, {f"c{k}": count for k, count in enumerate(counts) if count}, 1.0)
    before = np.array([[9.0] * 4, [1.0] * 4])
    after = fitted_weights(before, Choices(book, told), prior)
    shares = after[0] / after[0].sum()
    expected = [(prior / 4 + count) / (prior + sum(counts)) for count in counts]
    assert shares == pytest.approx(expected, abs=1e-4)
    # Nothing was seen of cars that ran well before.
    assert after[1] == pytest.approx(before[1])


def test_placenta_previa_is_the_beta_posterior_of_the_textbook() -> None:
    # Gelman et al., Bayesian Data Analysis, 3rd ed., section 2.4: 437 girls in 980 births and a
    # uniform prior give Beta(438, 544), mean .446 (as quoted by a second source).
    book = alike()
    causes = {name: book.causes[name] for name in ("c0", "c1")}
    two = replace(book, causes=causes)
    told = tally(two, {"c0": 437, "c1": 543}, 1.0)
    after = fitted_weights(np.array([[1.0, 1.0], [1.0, 1.0]]), Choices(two, told), 2.0)
    share = after[0, 0] / after[0].sum()
    assert share == pytest.approx(0.446029, abs=5e-6)
    spread = np.sqrt(share * (1.0 - share) / 983.0)
    assert spread == pytest.approx(0.015854, abs=5e-6)


def test_a_cause_that_few_cars_can_have_is_not_thought_rare_for_that() -> None:
    # Half of the cars can have the flap, and of those two thirds have it; the leak is on all.
    book = knowledge()
    fresh = (1.0,) * len(book.causes)
    inner, outer = Car(INNER, "lazy", fresh), Car(OUTER, "lazy", fresh)
    told = Tally(
        Counter(
            {
                (inner, "flap-stuck"): 2000,
                (inner, "charge-leak"): 1000,
                (outer, "charge-leak"): 3000,
            }
        )
    )
    weights = {one.cause: one.after for one in seen_changes(book, told, 0.1)}
    shown = book.symptoms["lazy"].causes
    assert shown["flap-stuck"] == shown["charge-leak"]
    assert weights["flap-stuck"] / weights["charge-leak"] == pytest.approx(2.0, rel=0.02)


def test_a_history_that_is_not_known_teaches_both_columns() -> None:
    book = alike()
    changes = list(seen_changes(book, tally(book, {"c0": 40}, 0.5), 20.0))
    of_first = {one.column: one for one in changes if one.cause == "c0"}
    assert of_first["just_fitted"].after > of_first["just_fitted"].before
    assert of_first["settled"].after > of_first["settled"].before
    assert {one.cases for one in of_first.values()} == {40}
    # Seen on a fresh car nine times as often, so that column has most of it.
    moved = {column: one.after / one.before for column, one in of_first.items()}
    assert moved["just_fitted"] > moved["settled"]


def test_no_cases_change_nothing() -> None:
    assert list(seen_changes(alike(), Tally(), 20.0)) == []
