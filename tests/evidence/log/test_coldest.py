from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.coldest import coldest
from tests.evidence.log.drives import bench, changed, flat, made

DRIVE = made(flat(69.0))


def test_the_coldest_rows_count_and_a_lone_one_does_not() -> None:
    warm = np.linspace(-8.0, 30.0, DRIVE.time_s.size)
    warm[100] = -60.0
    found = coldest(changed(DRIVE, intake=warm))
    assert found.value == pytest.approx(-7.5, abs=0.5)
    assert found.uncertainty < 2.0
    assert found.span is not None
    assert found.span.from_s < 1.0


def test_what_cannot_be_told() -> None:
    assert "no intake" in coldest(DRIVE).why
    blank = changed(DRIVE, intake=np.full(DRIVE.time_s.size, np.nan))
    assert "next to no" in coldest(blank).why


def test_a_simulated_car_on_a_frosty_day() -> None:
    frost = coldest(bench("cold-air"))
    assert frost.value is not None
    assert frost.value + frost.uncertainty < 0.0
    mild = coldest(bench())
    assert mild.value is not None
    assert mild.value > 5.0
