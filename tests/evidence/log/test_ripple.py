from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.ripple import flutter_after, ripple, surge_of, turning_rows
from expert.evidence.log.seen import seen
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import (
    PULL_FROM_S,
    bench,
    changed,
    flat,
    made,
    only_pull,
    thinned,
)

DRIVE = made(flat(69.0), hz=40.0, noise_kpa=0.3)


def rippling(from_s: float, to_s: float, height_kpa: float, hz: float = 5.0) -> Recording:
    into = DRIVE.time_s - PULL_FROM_S
    wave = height_kpa / 2.0 * np.sin(2.0 * np.pi * hz * into)
    here = (into > from_s) & (into < to_s)
    return changed(DRIVE, boost=DRIVE.values["boost"] + np.where(here, wave, 0.0))


@pytest.mark.parametrize("height", [8.0, 20.0])
def test_surge_in_a_pull(height: float) -> None:
    found = surge_of(only_pull(rippling(1.5, 2.7, height)))
    assert found.value == pytest.approx(height, rel=0.2)
    assert found.span is not None
    assert found.span.from_s == pytest.approx(PULL_FROM_S + 1.5, abs=0.3)
    assert found.span.to_s == pytest.approx(PULL_FROM_S + 2.7, abs=0.3)


def test_no_ripple_in_a_calm_pull() -> None:
    assert surge_of(only_pull(DRIVE)).value == 0.0
    assert surge_of(only_pull(made(flat(69.0), hz=100.0, noise_kpa=0.8))).value == 0.0


def test_flutter_after_a_lift() -> None:
    drive = rippling(10.1, 11.2, 12.0)
    assert flutter_after(drive, only_pull(drive)).value == pytest.approx(12.0, rel=0.25)
    assert flutter_after(DRIVE, only_pull(DRIVE)).value == 0.0


def test_the_throttle_that_opens_again_is_no_flutter() -> None:
    drive = rippling(10.6, 11.2, 12.0)
    into = drive.time_s - PULL_FROM_S
    again = changed(drive, throttle=np.where(into > 10.5, 60.0, drive.values["throttle"]))
    assert flutter_after(again, only_pull(again)).value == 0.0


def test_too_few_rows() -> None:
    slow = thinned(DRIVE, 8)
    assert "few rows" in surge_of(only_pull(slow)).why
    assert "few rows" in flutter_after(slow, only_pull(slow)).why
    short = made(flat(69.0), hz=20.0)
    rows = short.time_s < PULL_FROM_S + 10.0
    from dataclasses import replace

    ends = replace(
        short,
        time_s=short.time_s[rows],
        values={name: found[rows] for name, found in short.values.items()},
    )
    assert "ends" in flutter_after(ends, only_pull(ends)).why


def test_turns() -> None:
    assert turning_rows(np.array([0.0, 5.0, 1.0, 6.0, 5.5, 0.0]), 2.0) == [1, 2, 3]
    assert turning_rows(np.arange(9.0), 2.0) == []


def test_a_slow_swing_is_no_ripple() -> None:
    time = np.arange(0.0, 6.0, 0.05)
    assert ripple(time, 20.0 * np.sin(2.0 * np.pi * time / 1.5), 0.0).value == 0.0
    assert ripple(time, 20.0 * np.sin(2.0 * np.pi * time / 0.3), 0.0).value == pytest.approx(
        40.0, rel=0.2
    )


def test_simulated_cars() -> None:
    def most(*causes: str) -> float:
        drive = bench(*causes)
        found = traces(drive, find(drive, has_duty=True))
        return max(surge_of(seen(trace)).value or 0.0 for trace in found)

    assert most() == 0.0
    assert most("surge-on-throttle") > 4.0
