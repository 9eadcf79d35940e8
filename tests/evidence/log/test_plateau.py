from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.plateau import plateau_of, swings
from tests.evidence.log.drives import PULL_FROM_S, bench, flat, made, only_pull


@pytest.mark.parametrize("noise_kpa", [0.0, 0.5, 1.5])
@pytest.mark.parametrize("rise_s", [1.0, 2.0, 4.0])
def test_the_knee_and_the_level(noise_kpa: float, rise_s: float) -> None:
    trace = only_pull(made(flat(69.0, rise_s), noise_kpa=noise_kpa)).trace
    plateau = plateau_of(trace)
    assert plateau is not None
    assert trace.time_s[plateau.knee] - PULL_FROM_S == pytest.approx(rise_s, abs=0.3)
    assert abs(plateau.level_kpa - 69.0) <= plateau.uncertainty_kpa + 0.05
    assert plateau.rate_kpa_s == pytest.approx(69.0 / rise_s, rel=0.1 + 0.3 * noise_kpa)


def test_boost_that_rises_to_the_end_has_none() -> None:
    assert plateau_of(only_pull(made(lambda into: 10.0 * into)).trace) is None


def test_a_rise_of_nothing_begins_at_once() -> None:
    trace = only_pull(made(lambda into: 60.0 + 0.0 * into)).trace
    plateau = plateau_of(trace)
    assert plateau is not None
    assert plateau.knee == trace.begin
    assert plateau.level_kpa == pytest.approx(60.0)


def test_creep_is_no_part_of_the_level() -> None:
    creep = made(lambda into: np.minimum(69.0 * into, 69.0 + 5.0 * (into - 1.0)))
    plateau = plateau_of(only_pull(creep).trace)
    assert plateau is not None
    assert 69.0 < plateau.level_kpa < 80.0


def test_swings_are_told_from_a_slope() -> None:
    time = np.arange(0.0, 6.0, 0.05)
    assert swings(90.0 + 20.0 * np.sin(12.0 * time))
    assert not swings(90.0 + 5.0 * time)
    assert not swings(90.0 + 1.0 * np.sin(12.0 * time))


def test_simulated_cars() -> None:
    from expert.evidence.log.pulls import find
    from expert.evidence.log.trace import trace_of

    drive = bench()
    trace = trace_of(drive, find(drive, has_duty=True)[0])
    assert trace is not None
    plateau = plateau_of(trace)
    assert plateau is not None and trace.rpm is not None
    assert 2_400.0 < trace.rpm[plateau.knee] < 3_000.0
    open_hose = bench("signal-off")
    runs = trace_of(open_hose, find(open_hose, has_duty=True)[0])
    assert runs is not None
    assert plateau_of(runs) is None
