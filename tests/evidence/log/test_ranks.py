"""Medians and quantiles: ``expert/evidence/log/ranks.py``, held against numpy's."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from expert.evidence.log import ranks

values = st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=60).map(np.array)
SHARES = (0.0, 0.003, 0.02, 0.5, 0.95, 0.998, 1.0)


@settings(max_examples=300)
@given(values, st.floats(0.0, 1.0))
def test_a_few_values(few: NDArray[np.float64], share: float) -> None:
    assert ranks.median(few) == np.median(few)
    assert ranks.quantile(few, share) == np.quantile(few, share)


def _many() -> dict[str, NDArray[np.float64]]:
    draw = np.random.default_rng(5)
    count = 130_001
    noise = draw.normal(size=count)
    return {
        "noise": noise,
        "tenths": np.round(101.3 + 0.1 * noise, 1),
        "one number": np.full(count, 4.0),
        "off and on": np.where(draw.random(count) < 0.5, 0.0, 100.0),
        "rising": np.arange(float(count)),
        "misleads the sample": np.where(np.arange(count) % 32 == 0, noise, 1e3 + noise),
    }


@pytest.mark.parametrize("what", _many())
def test_many_values(what: str) -> None:
    many = _many()[what]
    for column in (many, many[1:]):
        assert ranks.median(column) == np.median(column)
        for share in SHARES:
            assert ranks.quantile(column, share) == np.quantile(column, share)


def test_of_no_values_there_is_none() -> None:
    assert math.isnan(ranks.median(np.empty(0)))
    assert math.isnan(ranks.quantile(np.empty(0), 0.5))


def test_what_is_finite_is_kept_and_nothing_copied_without_need() -> None:
    whole = np.array([1.0, 2.0])
    assert ranks.finite(whole) is whole
    assert ranks.finite(np.array([1.0, np.nan, np.inf, 3.0])).tolist() == [1.0, 3.0]
