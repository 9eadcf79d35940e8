from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.pulls import find
from expert.evidence.log.slip import slip_of
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, changed, flat, made, only_pull, without


@pytest.mark.parametrize("percent", [0.0, 8.0, 25.0])
def test_rpm_that_leaves_the_road(percent: float) -> None:
    drive = made(
        flat(69.0), slip=lambda into: percent / 100.0 * np.clip((into - 4.0) / 0.8, 0.0, 1.0)
    )
    draw = np.random.default_rng(1)
    speed = drive.values["speed"] + draw.normal(0.0, 0.15, drive.time_s.size)
    found = slip_of(only_pull(changed(drive, speed=speed)).trace)
    assert found.value == pytest.approx(percent, abs=0.5 + found.uncertainty)
    assert found.uncertainty < 2.0
    if percent:
        assert found.span is not None
        assert 7.0 < found.span.from_s < found.span.to_s


def test_a_speed_that_lags_behind_is_no_slip() -> None:
    drive = made(flat(69.0))
    late = np.interp(drive.time_s - 0.4, drive.time_s, drive.values["speed"])
    found = slip_of(only_pull(changed(drive, speed=late)).trace)
    assert found.value is not None
    assert found.value < 1.0


def test_what_cannot_be_told() -> None:
    drive = made(flat(69.0))
    assert "road speed" in slip_of(only_pull(without(drive, "speed")).trace).why
    assert "no rpm" in slip_of(only_pull(without(drive, "rpm")).trace).why
    roller = changed(drive, speed=np.zeros(drive.time_s.size))
    assert "hardly moved" in slip_of(only_pull(roller).trace).why


def test_simulated_cars() -> None:
    def most(*causes: str) -> float:
        drive = bench(*causes)
        found = traces(drive, find(drive, has_duty=True))
        return max(slip_of(trace).value or 0.0 for trace in found)

    assert most() < 2.0
    assert most("clutch-slip") > 10.0
