from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.flat import cut_flat
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Measured, Recording
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, changed, flat, joined, made

TWO = joined(
    made(flat(95.0, 2.0), duty=30.0, noise_kpa=0.6, seed=1),
    made(flat(99.0, 2.0), duty=40.0, noise_kpa=0.6, seed=2),
)


def of(recording: Recording) -> Measured:
    rounded = changed(recording, boost=np.round(recording.values["boost"], 1))
    return cut_flat(traces(rounded, find(rounded, has_duty=True)))


def clipped(recording: Recording, most: float) -> Recording:
    return changed(recording, boost=np.minimum(recording.values["boost"], most))


def test_a_top_that_is_cut_off_in_two_pulls() -> None:
    found = of(clipped(TWO, 90.0))
    assert found.value is not None
    assert found.value > 5.0
    assert found.span is not None
    assert found.span.to_s - found.span.from_s == pytest.approx(found.value, abs=0.2)


def test_a_top_that_wobbles_is_not_cut_off() -> None:
    assert of(TWO).value == 0.0
    assert of(bench()).value == 0.0


def test_one_pull_is_not_enough() -> None:
    one = made(flat(95.0, 2.0), duty=30.0, noise_kpa=0.6)
    assert "one pull only" in of(clipped(one, 90.0)).why


def test_a_log_without_wobble_cannot_tell() -> None:
    still = joined(made(flat(95.0, 2.0)), made(flat(95.0, 2.0), duty=30.0))
    assert "coarse" in of(still).why
    coarse = changed(TWO, boost=np.round(TWO.values["boost"] / 7.0) * 7.0)
    assert "coarse" in cut_flat(traces(coarse, find(coarse, has_duty=True))).why


def test_no_pull() -> None:
    assert cut_flat([]).value is None
