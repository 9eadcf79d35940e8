from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.load import under_load
from tests.evidence.log.drives import bench, changed, flat, made, only_pull, without

DRIVE = made(flat(69.0))


def test_a_quantile_at_full_throttle() -> None:
    pull = only_pull(DRIVE)
    assert under_load(DRIVE, [pull], "mixture", 0.5).value == pytest.approx(0.85)
    into = DRIVE.time_s - 4.0
    lean = changed(DRIVE, mixture=np.where(into > 9.0, 1.05, 0.85))
    assert under_load(lean, [pull], "mixture", 0.99).value == pytest.approx(1.05)
    assert under_load(lean, [pull], "mixture", 0.5).value == pytest.approx(0.85)


def test_what_cannot_be_told() -> None:
    pull = only_pull(DRIVE)
    assert "no knock" in under_load(DRIVE, [pull], "knock", 1.0).why
    assert "pull" in under_load(DRIVE, [], "mixture", 0.5).why
    blank = changed(DRIVE, mixture=np.full(DRIVE.time_s.size, np.nan))
    assert "no mixture" in under_load(blank, [pull], "mixture", 0.5).why
    assert under_load(without(DRIVE, "mixture"), [pull], "mixture", 0.5).value is None


def test_a_simulated_car_is_rich_under_load() -> None:
    from expert.evidence.log.pulls import find
    from expert.evidence.log.seen import seen
    from expert.evidence.log.trace import traces

    drive = bench()
    pulls = [seen(one) for one in traces(drive, find(drive, has_duty=True))]
    found = under_load(drive, pulls, "mixture", 0.5)
    assert found.value is not None
    assert 0.7 < found.value < 1.0
