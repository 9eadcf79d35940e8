from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.ending import ending_of
from expert.evidence.log.pulls import find
from expert.evidence.log.seen import seen
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, flat, made, only_pull, without

SPRING_KPA = 69.0


def test_boost_that_levels_off() -> None:
    found = ending_of(only_pull(made(flat(69.0))), SPRING_KPA)
    assert found.kpa.value == pytest.approx(69.0, abs=0.5)
    assert found.rises_pct.value == pytest.approx(0.0, abs=1.0)
    assert found.slows_to_pct.value == pytest.approx(0.0, abs=1.0)
    assert "did not close" in found.over_target.why


def test_boost_that_climbs_evenly_never_slows() -> None:
    found = ending_of(only_pull(made(lambda into: 12.0 * into)), SPRING_KPA)
    assert found.kpa.value == pytest.approx(120.0, abs=3.0)
    assert found.rises_pct.value == pytest.approx(100.0, abs=5.0)
    assert found.slows_to_pct.value == pytest.approx(100.0, abs=5.0)


def test_a_bend_at_the_spring_shows_though_boost_climbs_again() -> None:
    def curve(into: np.ndarray) -> np.ndarray:
        return np.where(into < 1.0, 69.0 * into, 69.0 + 3.0 * np.maximum(into - 4.0, 0.0))

    found = ending_of(only_pull(made(curve)), SPRING_KPA)
    assert found.slows_to_pct.value == pytest.approx(0.0, abs=1.0)
    # 3 kPa/s after a fastest rise of 69 kPa/s.
    assert found.rises_pct.value == pytest.approx(100.0 * 3.0 / 69.0, abs=1.0)


def test_little_boost_is_judged_by_its_own_top() -> None:
    found = ending_of(only_pull(made(flat(25.0))), SPRING_KPA)
    assert found.slows_to_pct.value == pytest.approx(0.0, abs=1.0)


def test_boost_over_its_target_when_the_throttle_shut() -> None:
    drive = made(
        lambda into: np.minimum(25.0 * into, 150.0),
        target_kpa=100.0,
        throttle=lambda into: np.where(into > 5.2, 12.0, 100.0),
    )
    found = ending_of(only_pull(drive), SPRING_KPA).over_target
    assert found.value == pytest.approx(27.0, abs=3.0)
    assert "no boost target" in ending_of(only_pull(without(drive, "target"))).over_target.why


def test_what_cannot_be_told() -> None:
    flat_out = ending_of(only_pull(made(lambda into: 0.0 * into)), SPRING_KPA)
    assert "never came up" in flat_out.slows_to_pct.why


@pytest.mark.parametrize(("cause", "runs_away"), [(None, False), ("signal-off", True)])
def test_simulated_cars(cause: str | None, runs_away: bool) -> None:
    drive = bench(cause) if cause else bench()
    lowest = [pull for pull in find(drive, has_duty=True) if pull.lowest]
    found = [ending_of(seen(trace), SPRING_KPA) for trace in traces(drive, lowest)]
    slowest = min(one.slows_to_pct.value for one in found if one.slows_to_pct.value is not None)
    assert (slowest > 25.0) is runs_away
