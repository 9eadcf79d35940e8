"""Units by values: ``expert/evidence/log/guess.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.guess import guess, in_range
from expert.evidence.log.units import BY_NAME
from tests.evidence.log.sheets import CHANNELS, Floats


def _to(low: float, high: float) -> Floats:
    return np.linspace(low, high, 200)


@pytest.mark.parametrize(
    ("channel", "values", "unit"),
    [
        ("duty", _to(0, 85), "%"),
        ("duty", _to(0, 0.85), "0-1"),
        ("duty", _to(0, 0), "%"),
        ("throttle", _to(0.02, 1.0), "0-1"),
        ("pedal", _to(0, 100), "%"),
        ("mixture", _to(0.8, 1.05), "lambda"),
        ("mixture", _to(11.5, 15.0), "AFR"),
        ("intake", _to(15, 40), "C"),
        ("intake", _to(290, 320), "K"),
        ("intake", _to(70, 120), "F"),
        ("rpm", _to(0, 6500), "rpm"),
        ("speed", _to(0, 130), "km/h"),
    ],
)
def test_units(channel: str, values: Floats, unit: str) -> None:
    found = guess(values, CHANNELS[channel])
    assert found.unit is not None
    assert found.unit.name == unit
    assert found.because


@pytest.mark.parametrize("channel", ["speed", "intake"])
def test_an_assumption_is_called_one(channel: str) -> None:
    found = guess(_to(10, 40), CHANNELS[channel])
    assert "assumed" in found.because
    assert found.certainty <= 0.7


@pytest.mark.parametrize("channel", ["boost", "time", "knock", "gear"])
def test_what_is_not_guessed_here(channel: str) -> None:
    assert guess(_to(0, 100), CHANNELS[channel]).unit is None


def test_no_values() -> None:
    found = guess(np.full(5, np.nan), CHANNELS["duty"])
    assert found.certainty < 0.5
    assert in_range(np.full(5, np.nan), None, CHANNELS["duty"]) == 0.0


def test_range() -> None:
    rpm = CHANNELS["rpm"]
    assert in_range(_to(0, 7000), BY_NAME["rpm"], rpm) == 1.0
    assert in_range(np.array([1000.0, 65_535.0]), BY_NAME["rpm"], rpm) == 0.5
    # Absolute readings of 250 kPa are boost of 150 kPa; as such they are in range.
    assert in_range(_to(30, 500), BY_NAME["kPa"], CHANNELS["boost"]) == 1.0
    assert in_range(_to(30, 500), BY_NAME["bar"], CHANNELS["boost"]) < 0.1
    assert in_range(_to(30, 500), None, CHANNELS["boost"]) == 1.0
