"""How sure a message tells something: ``expert/evidence/mail/judgement.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.linear_model import LogisticRegression

from expert.evidence.mail.judgement import Judgement, Linear, any_of, judgement, logistic
from tests.mail_fit import Rows, linear

SHARES = st.lists(st.floats(0.0, 1.0), max_size=6)


@pytest.mark.parametrize("classes", [2, 3])
def test_the_chances_are_those_of_scikit_learn(classes: int) -> None:
    # scikit-learn: LogisticRegression on standardised columns.
    rng = np.random.default_rng(0)
    signs = rng.normal(3.0, 2.0, size=(200, 4))
    true = (signs[:, 0] > 3).astype(int) + (signs[:, 1] > 4) * (classes > 2)
    rows = Rows(("a", "b", "c", "d"), list(signs), true.tolist(), list(range(200)))
    found = Linear(**linear(rows, np.ones(200, bool))).chances(signs)
    scaled = (signs - signs.mean(axis=0)) / signs.std(axis=0)
    expected = LogisticRegression(C=1.0, max_iter=5000).fit(scaled, true).predict_proba(scaled)
    np.testing.assert_allclose(found, expected[:, 1] if classes == 2 else expected, atol=1e-4)


@given(SHARES)
def test_any_of_several_is_no_less_likely_than_one(chances: list[float]) -> None:
    found = any_of(chances)
    assert max(chances, default=0.0) - 1e-12 <= found <= min(1.0, sum(chances)) + 1e-12


def test_any_of_two_coins() -> None:
    # Two fair coins show a head three times in four: textbook, from memory.
    assert any_of([0.5, 0.5]) == pytest.approx(0.75)


def test_even_odds_are_a_half() -> None:
    assert logistic(np.array([0.0, np.log(3.0)])).tolist() == pytest.approx([0.5, 0.75])


@given(st.floats(-1e9, 1e9))
def test_any_odds_are_a_probability(score: float) -> None:
    (found,) = logistic(np.array([score]))
    assert 0.0 <= found <= 1.0


def test_what_comes_with_the_program_is_read_once() -> None:
    assert isinstance(judgement(), Judgement)
    assert judgement() is judgement()
