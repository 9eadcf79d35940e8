"""Scores of forecasts, against published examples and a general library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss
from sklearn.metrics import log_loss as library_log_loss

from expert.workbench.scores import (
    bins,
    brier,
    brier_classes,
    calibration_error,
    chance_error,
    log_loss,
)

forecasts = st.lists(
    st.tuples(st.floats(0.0, 1.0), st.sampled_from([0.0, 1.0])), min_size=2, max_size=60
)


def arrays(pairs: list[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
    stated, true = zip(*pairs, strict=True)
    return np.array(stated), np.array(true)


def test_briers_own_example_both_ways() -> None:
    # G. W. Brier, 1950: ten forecasts of rain (from memory).
    stated = np.array([0.7, 0.9, 0.8, 0.4, 0.2, 0.0, 0.0, 0.0, 0.0, 0.1])
    rain = np.array([0.0, 1, 1, 1, 0, 0, 0, 0, 0, 0])
    assert brier(stated, rain) == pytest.approx(0.095)
    both = np.stack([1.0 - stated, stated], axis=1)
    assert brier_classes(both, rain.astype(int)) == pytest.approx(0.19)


def test_brier_as_documented_by_scikit_learn() -> None:
    # The example in scikit-learn's documentation of brier_score_loss.
    found = brier(np.array([0.1, 0.9, 0.8, 0.3]), np.array([0.0, 1, 1, 0]))
    assert found == pytest.approx(0.0375)


def test_log_loss_as_documented_by_scikit_learn() -> None:
    # The example in scikit-learn's documentation of log_loss: probabilities of the true classes.
    assert log_loss(np.array([0.9, 0.9, 0.8, 0.65])) == pytest.approx(0.21616, abs=5e-6)


def test_calibration_error_as_documented_by_torchmetrics() -> None:
    # The example in the documentation of torchmetrics' binary calibration error, two bins.
    found = bins(np.array([0.25, 0.25, 0.55, 0.75, 0.75]), np.array([0.0, 0, 1, 1, 1]), 2)
    assert calibration_error(found) == pytest.approx(0.29)
    assert [one.count for one in found] == [2, 3]


@given(forecasts)
def test_brier_agrees_with_scikit_learn(pairs: list[tuple[float, float]]) -> None:
    stated, true = arrays(pairs)
    expected = brier_score_loss(true, stated, pos_label=1.0)
    assert brier(stated, true) == pytest.approx(expected, abs=1e-12)
    both = np.stack([1.0 - stated, stated], axis=1)
    assert brier_classes(both, true.astype(int)) == pytest.approx(2.0 * expected, abs=1e-12)


@given(st.lists(st.tuples(st.floats(0.01, 0.99), st.sampled_from([0, 1])), min_size=1))
def test_log_loss_agrees_with_scikit_learn(pairs: list[tuple[float, int]]) -> None:
    stated, true = arrays(pairs)
    hit = np.where(true == 1, stated, 1.0 - stated)
    assert log_loss(hit) == pytest.approx(library_log_loss(true, stated, labels=[0, 1]))


# Edges belong to different bins in the library, so no forecast stands on one.
@given(
    st.lists(
        st.tuples(
            st.floats(0.0, 1.0).filter(lambda p: abs(p * 10 - round(p * 10)) > 1e-9),
            st.sampled_from([0.0, 1.0]),
        ),
        min_size=1,
        max_size=60,
    )
)
def test_bins_agree_with_scikit_learn(pairs: list[tuple[float, float]]) -> None:
    stated, true = arrays(pairs)
    share, mean = calibration_curve(true, stated, n_bins=10)
    found = bins(stated, true)
    assert [one.true for one in found] == pytest.approx(list(share))
    assert [one.stated for one in found] == pytest.approx(list(mean))
    assert sum(one.count for one in found) == len(stated)


def test_a_certain_forecast_stands_in_the_last_bin() -> None:
    (only,) = bins(np.array([1.0]), np.array([1.0]))
    assert (only.low, only.high, only.count) == (0.9, 1.0, 1)


def test_what_was_called_impossible_costs_much_but_not_everything() -> None:
    assert 20.0 < log_loss(np.array([0.0])) < 40.0


def test_chance_makes_as_much_error_as_is_expected_of_it() -> None:
    rng = np.random.default_rng(4)
    found, expected = [], []
    for _ in range(200):
        stated = rng.random(1000)
        table = bins(stated, (rng.random(1000) < stated).astype(float))
        found.append(calibration_error(table))
        expected.append(chance_error(table))
    assert np.mean(found) == pytest.approx(np.mean(expected), rel=0.05)
