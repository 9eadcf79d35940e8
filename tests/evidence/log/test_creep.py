from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.creep import Creep, creep_of, fall_of
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Measured, Recording
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, flat, made, only_pull, without


def course(slope_kpa_s: float, noise_kpa: float = 0.5, **more: object) -> Recording:
    """Boost that comes up in a second and then changes evenly; 450 rpm go by in a second."""
    return made(
        lambda into: np.where(into < 1.0, 69.0 * into, 69.0 + slope_kpa_s * (into - 1.0)),
        noise_kpa=noise_kpa,
        **more,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize("slope", [-3.0, 0.0, 1.5, 4.0])
@pytest.mark.parametrize("noise_kpa", [0.0, 0.5, 2.0])
def test_the_slope_over_rpm(slope: float, noise_kpa: float) -> None:
    found = creep_of(only_pull(course(slope, noise_kpa)))
    assert found.kpa_per_1000rpm.value is not None and found.kpa.value is not None
    expected = slope / 0.45
    doubt = found.kpa_per_1000rpm.uncertainty
    assert found.kpa_per_1000rpm.value == pytest.approx(expected, abs=1.5 * doubt + 0.05)
    # From about half a second after boost has settled to 0.2 s before the end.
    assert found.kpa.value == pytest.approx(7.5 * slope, abs=2.5 + noise_kpa)


def test_creep_near_the_top_only_counts_by_its_rise() -> None:
    drive = made(lambda into: flat(69.0)(into) + 12.0 * np.clip(into - 7.0, 0.0, None))
    found = creep_of(only_pull(drive))
    assert found.kpa.value == pytest.approx(33.0, abs=3.0)


@pytest.mark.parametrize(
    ("drive", "word"),
    [
        (made(lambda into: 10.0 * into), "rising"),
        (without(course(2.0), "rpm"), "rpm"),
        (made(flat(69.0), seconds=2.5), "higher rpm"),
        (course(2.0, duty=lambda into: 40.0 + into), "duty moved"),
        (without(course(2.0, duty=40.0), "duty"), "no duty"),
        (made(lambda into: 0.5 * into), "never came up"),
    ],
)
def test_what_cannot_be_told(drive: Recording, word: str) -> None:
    found = creep_of(only_pull(drive))
    assert found.kpa.value is None
    assert word in found.kpa.why
    assert found.kpa_per_1000rpm.why == found.kpa.why


def test_one_duty_that_is_not_the_lowest_will_do() -> None:
    assert creep_of(only_pull(course(2.0, duty=40.0))).kpa.value is not None


def test_without_a_solenoid_no_duty_is_needed() -> None:
    drive = without(course(2.0), "duty")
    assert creep_of(only_pull(drive, has_duty=False)).kpa.value is not None


@pytest.mark.parametrize("noise_kpa", [0.0, 0.5, 2.0])
def test_the_fall_towards_high_rpm(noise_kpa: float) -> None:
    found = fall_of(only_pull(course(-3.0, noise_kpa)))
    assert found.value == pytest.approx(23.0, abs=2.0 + 2.0 * noise_kpa)
    steady = fall_of(only_pull(course(0.0, noise_kpa)))
    assert steady.value is not None
    assert steady.value < 1.0 + 1.5 * noise_kpa


def test_an_overshoot_that_comes_down_to_its_target_is_no_fall() -> None:
    def curve(into: np.ndarray) -> np.ndarray:
        return flat(100.0)(into) + 25.0 * np.exp(-into / 2.0) * np.clip(into, 0.0, 1.0)

    drive = made(curve, duty=lambda into: 40.0 - 0.2 * into)
    found = fall_of(only_pull(drive))
    assert found.value is not None
    assert found.value < 1.0


def test_a_target_that_falls_is_no_fault() -> None:
    drive = course(-3.0, duty=lambda into: 40.0 - 0.2 * into)
    into = np.clip(drive.time_s - 4.0, 0.0, 10.0)
    from tests.evidence.log.drives import changed

    asked = changed(drive, target=70.0 - 3.0 * np.clip(into - 1.0, 0.0, None))
    found = fall_of(only_pull(asked))
    assert found.value is not None
    assert found.value < 2.0


def test_duty_that_is_taken_away_is_no_fault() -> None:
    drive = without(course(-3.0, duty=lambda into: 60.0 - 4.0 * into), "target")
    found = fall_of(only_pull(drive))
    assert found.value is None
    assert "took duty away" in found.why


def test_swings_hide_a_fall() -> None:
    drive = made(lambda into: 90.0 + 25.0 * np.sin(9.0 * into))
    assert "swings" in fall_of(only_pull(drive)).why


def pulls(recording: Recording) -> list[Seen]:
    return [seen(one) for one in traces(recording, find(recording, has_duty=True))]


def lowest(recording: Recording) -> Creep:
    return creep_of(pulls(recording)[0])


def sure(one: Measured) -> tuple[float, float]:
    assert one.value is not None
    return one.value - one.uncertainty, one.value + one.uncertainty


@pytest.mark.parametrize(
    ("cause", "rig"), [("gate-undersized", "external"), ("port-limited", "internal")]
)
def test_a_gate_that_is_too_small_creeps(cause: str, rig: str) -> None:
    found = lowest(bench(cause, rig=rig))
    assert sure(found.kpa_per_1000rpm)[0] > 0.0
    assert sure(found.kpa)[0] > 10.0


def test_a_sound_car_does_not_creep_or_fall() -> None:
    drive = bench()
    assert sure(lowest(drive).kpa)[1] < 7.0
    assert all(sure(fall)[1] < 7.0 for fall in map(fall_of, pulls(drive)) if fall.value is not None)


@pytest.mark.parametrize("cause", ["cooler-blocked", "inlet-choked", "as-designed:small-turbo"])
def test_a_car_that_runs_out_of_air_falls_off(cause: str) -> None:
    falls = [one for one in map(fall_of, pulls(bench(cause))) if one.value is not None]
    assert max(sure(one)[0] for one in falls) > 10.0
