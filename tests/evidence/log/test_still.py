from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from expert.evidence.log.record import Channel
from expert.evidence.log.still import idle_vacuum, key_on
from tests.evidence.log.drives import bench, changed, flat, made, without

DRIVE = made(flat(69.0), noise_kpa=0.5)


@pytest.mark.parametrize("offset", [-18.0, 0.0, 12.0])
def test_what_the_sensor_is_off_by(offset: float) -> None:
    found = key_on(changed(DRIVE, boost=DRIVE.values["boost"] + offset))
    assert found.value == pytest.approx(offset, abs=2.0 * found.uncertainty)
    assert found.uncertainty < 1.0
    assert found.span is not None
    assert (found.span.from_s, found.span.to_s) == (pytest.approx(0.0), pytest.approx(1.95))


def test_the_moment_after_the_engine_has_stopped_does_not_count() -> None:
    time = DRIVE.time_s
    stops = time > 14.0
    rpm = np.where(stops, 0.0, np.where(time < 2.0, 850.0, DRIVE.values["rpm"]))
    filling = np.where(stops, -60.0 * np.exp(-(time - 14.0) / 0.15), DRIVE.values["boost"])
    found = key_on(changed(DRIVE, rpm=rpm, boost=filling))
    assert found.value == pytest.approx(0.0, abs=1.0)


def test_what_key_on_needs() -> None:
    absolute = replace(
        without(DRIVE, "barometer"),
        channels=(Channel("boost", "MAP", "kPa", 1.0, "its name", "absolute"),),
    )
    assert "barometer" in key_on(absolute).why
    gauge = replace(absolute, channels=(replace(absolute.channels[0], reference="gauge"),))
    assert key_on(gauge).value is not None
    assert "rpm" in key_on(without(DRIVE, "rpm")).why
    running = changed(DRIVE, rpm=np.maximum(DRIVE.values["rpm"], 850.0))
    assert "key on" in key_on(running).why


def test_the_vacuum_at_idle() -> None:
    found = idle_vacuum(DRIVE)
    assert found.value == pytest.approx(65.0, abs=0.5)
    assert "no idle" in idle_vacuum(changed(DRIVE, rpm=np.full(DRIVE.time_s.size, 3e3))).why
    assert "rpm" in idle_vacuum(without(DRIVE, "rpm")).why
    assert idle_vacuum(without(DRIVE, "pedal", "throttle")).value == pytest.approx(65.0, abs=0.5)


def test_simulated_cars() -> None:
    sound, wrong = key_on(bench()), key_on(bench("map-offset"))
    assert sound.value is not None and wrong.value is not None
    assert abs(sound.value) < 2.0
    assert abs(wrong.value) > 8.0
    vacuum = idle_vacuum(bench())
    assert vacuum.value is not None and 40.0 < vacuum.value < 80.0
