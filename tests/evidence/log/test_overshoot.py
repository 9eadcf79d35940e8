from __future__ import annotations

import math

import numpy as np
import pytest

from expert.evidence.log.overshoot import overshoot_of
from expert.evidence.log.record import Recording
from tests.evidence.log.drives import bench, flat, made, only_pull, step_response

# Overshoot in per cent and 2 % settling in 1/omega of a step into a system of second order: the
# closed form, which scipy.signal.step gives as well (see the test below).
TABLE = {0.3: (37.2326, 11.230), 0.5: (16.3034, 8.0763), 0.7: (4.5988, 5.9787)}


@pytest.mark.parametrize("zeta", TABLE)
def test_the_table_is_that_of_scipy(zeta: float) -> None:
    from scipy.signal import lti, step

    time = np.linspace(0.0, 30.0, 60_001)
    _, y = step(lti([1.0], [1.0, 2.0 * zeta, 1.0]), T=time)
    outside = np.flatnonzero(np.abs(y - 1.0) > 0.02)
    assert 100.0 * (y.max() - 1.0) == pytest.approx(TABLE[zeta][0], abs=1e-3)
    assert time[outside[-1] + 1] == pytest.approx(TABLE[zeta][1], abs=2e-3)
    assert np.allclose(step_response(1.0, zeta, 1.0)(time), y, atol=1e-5)


@pytest.mark.parametrize("hz", [20.0, 50.0])
@pytest.mark.parametrize("omega", [4.0, 6.0])
@pytest.mark.parametrize("zeta", TABLE)
def test_step_responses(zeta: float, omega: float, hz: float) -> None:
    percent, settled = TABLE[zeta]
    found = overshoot_of(only_pull(made(step_response(80.0, zeta, omega), seconds=12.0, hz=hz)))
    assert found.pct.value is not None and found.settling_s.value is not None
    assert found.pct.value == pytest.approx(percent, abs=1.0 + found.pct.uncertainty)
    assert found.pct.uncertainty < 4.0
    # Here settling counts from the first crossing of the level.
    damped = math.sqrt(1.0 - zeta**2)
    first = (math.pi - math.acos(zeta)) / damped
    expected = (settled - first) / omega
    assert found.settling_s.value == pytest.approx(
        expected, abs=0.05 + found.settling_s.uncertainty
    )


@pytest.mark.parametrize("seed", range(4))
def test_noise_is_no_overshoot(seed: int) -> None:
    found = overshoot_of(only_pull(made(flat(80.0), noise_kpa=1.5, seed=seed)))
    assert found.kpa.value is not None
    assert found.kpa.value - found.kpa.uncertainty < 1.0
    assert found.kpa.value < 5.0


@pytest.mark.parametrize("slope", [-4.0, 4.0])
def test_boost_that_creeps_or_falls_is_no_overshoot(slope: float) -> None:
    drive = made(lambda into: np.minimum(80.0 * into, 80.0 + slope * (into - 1.0)), noise_kpa=0.5)
    found = overshoot_of(only_pull(drive))
    assert found.kpa.value is not None
    assert found.kpa.value < 3.0


def test_an_overshoot_on_boost_that_falls() -> None:
    def curve(into: np.ndarray) -> np.ndarray:
        return step_response(80.0, 0.4, 6.0)(into) - 2.0 * np.clip(into - 1.0, 0.0, None)

    found = overshoot_of(only_pull(made(curve, noise_kpa=0.3)))
    # exp(-pi zeta / sqrt(1 - zeta^2)) of 80 kPa.
    expected = 80.0 * math.exp(-math.pi * 0.4 / math.sqrt(1.0 - 0.16))
    assert found.kpa.value == pytest.approx(expected, abs=3.0)


def test_boost_that_rises_to_the_end_tells_nothing() -> None:
    found = overshoot_of(only_pull(made(lambda into: 10.0 * into)))
    assert found.kpa.value is None
    assert "rising" in found.kpa.why
    assert found.settling_s.why == found.kpa.why


def test_too_little_boost_tells_nothing() -> None:
    assert "too little" in overshoot_of(only_pull(made(flat(4.0)))).pct.why


def test_a_swing_that_goes_on_never_settles() -> None:
    found = overshoot_of(only_pull(made(lambda into: 80.0 + 20.0 * np.sin(6.0 * into))))
    assert found.settling_s.value is None


def first(recording: Recording) -> float:
    from expert.evidence.log.pulls import find
    from expert.evidence.log.seen import seen
    from expert.evidence.log.trace import trace_of

    trace = trace_of(recording, find(recording, has_duty=True)[0])
    assert trace is not None
    found = overshoot_of(seen(trace)).kpa.value
    assert found is not None
    return found


def test_simulated_cars() -> None:
    assert first(bench()) < 5.0
    assert first(bench("signal-pinched")) > 15.0
