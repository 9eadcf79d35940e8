"""How well a check tells causes apart: ``expert/workbench/strength.py``."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import entropy

from expert.workbench.strength import telling, with_slip

COLUMNS = arrays(np.float64, (4, 3), elements=st.floats(0.01, 1.0))


@given(COLUMNS)
def test_it_is_the_mean_of_both_divergences(raw: np.ndarray) -> None:
    # Reference: scipy.stats.entropy, relative entropy in nats; ten decibans are a factor of ten.
    shares = raw / raw.sum(axis=0)
    found = telling(shares)
    for i in range(3):
        for j in range(3):
            both = entropy(shares[:, i], shares[:, j]) + entropy(shares[:, j], shares[:, i])
            expected = max(both / 2 * 10 / np.log(10), 0.0)
            assert found[i, j] == pytest.approx(expected, abs=1e-9)


@given(COLUMNS)
def test_it_is_symmetric_and_never_negative(raw: np.ndarray) -> None:
    found = telling(with_slip(raw, 0.02))
    assert np.allclose(found, found.T)
    assert (found >= 0.0).all()
    assert np.allclose(np.diag(found), 0.0)


def test_equal_columns_cannot_be_told_apart() -> None:
    shares = with_slip(np.array([[0.9, 0.9], [0.1, 0.1]]), 0.02)
    assert telling(shares) == pytest.approx(np.zeros((2, 2)), abs=1e-12)


def test_a_worked_example() -> None:
    # By hand: answers .9/.1 against .1/.9; each way .8 * ln 9 nats = .8 * 9.5424 dB.
    found = telling(np.array([[0.9, 0.1], [0.1, 0.9]]))
    assert found[0, 1] == pytest.approx(0.8 * 10 * np.log10(9))


def test_a_slip_takes_from_what_is_told() -> None:
    sure = np.array([[1.0, 0.0], [0.0, 1.0]])
    heard = with_slip(sure, 0.02)
    assert heard.sum(axis=0) == pytest.approx([1.0, 1.0])
    assert heard[1, 0] == pytest.approx(0.01)
    assert telling(with_slip(sure, 0.15))[0, 1] < telling(heard)[0, 1]
