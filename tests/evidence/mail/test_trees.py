"""Boosted trees, against scikit-learn's gradient boosting."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.ensemble import GradientBoostingClassifier

from expert.evidence.mail.trees import Trees
from tests.mail_fit import as_plain


def test_the_score_is_that_of_scikit_learn() -> None:
    # scikit-learn: GradientBoostingClassifier, whose rows are single precision.
    rng = np.random.default_rng(0)
    rows = rng.normal(size=(400, 5)).astype(np.float32).astype(float)
    model = GradientBoostingClassifier(n_estimators=25, max_depth=4, init="zero", random_state=0)
    model.fit(rows, rows[:, 0] * rows[:, 1] + rows[:, 2] > 0)
    found = Trees(**as_plain(model)).score(rows)
    # What is kept has six digits.
    np.testing.assert_allclose(found, model.decision_function(rows), atol=1e-3)


# One question, whether the first number is at most 2, and a leaf that always adds 0.25.
SMALL = Trees(
    start=0.5,
    begin=[0, 3],
    column=[0, -1, -1, -1],
    bound=[2.0, 0.0, 0.0, 0.0],
    left=[1, 0, 0, 0],
    right=[2, 0, 0, 0],
    value=[0.0, -1.0, 10.0, 0.25],
)


@given(st.floats(-1e6, 1e6))
def test_a_row_goes_left_where_it_is_at_most_the_bound(number: float) -> None:
    (score,) = SMALL.score(np.array([[number, 99.0]]))
    assert score == pytest.approx(0.75 + (-1.0 if number <= 2.0 else 10.0))


def test_no_rows_have_no_scores() -> None:
    assert SMALL.score(np.zeros((0, 2))).shape == (0,)
