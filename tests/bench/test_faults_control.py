"""Faults of map, sensor and solenoid: ``expert/bench/faults_control.py``.

What each wrong connection gives is common practice, checked by what air does; no source.
"""

from __future__ import annotations

import pytest

from expert.bench.car import Car
from expert.bench.faults import broken
from expert.bench.faults_control import CONTROL_FAULTS
from tests.bench.cars import at_rpm, boost_kpa, car, pulled
from tests.bench.signs import assert_shows

# By id: the rig, what must be seen, and what must not.
EXPECTED: dict[str, tuple[str, str, str]] = {
    "solenoid-dead": ("internal", "ceiling short", "runs low high"),
    "solenoid-unpowered": ("internal", "ceiling short", "runs low high"),
    "solenoid-wire-open": ("internal", "ceiling short", "runs low high"),
    "solenoid-jammed": ("internal", "ceiling short", "runs low high"),
    "solenoid-stuck-on": ("internal", "runs map-runs", "ceiling"),
    "driver-shorted": ("internal", "runs map-runs", "ceiling"),
    "solenoid-leaky": ("internal", "", "runs low ceiling"),
    "driver-inverted": ("internal", "runs", "low ceiling"),
    "frequency-wrong": ("internal", "short", "runs low high"),
    "duty-low": ("internal", "ceiling short", "runs low"),
    "loop-aggressive": ("internal", "swings", "runs low ceiling"),
    "fourport-old-duty": ("four", "map-runs", "runs"),
    "limp-mode": ("internal", "ceiling short", "runs high"),
    "limp-throttle": ("ball", "closes", "runs"),
    "limit-tight": ("internal", "map-runs", "runs high"),
    "map-offset": ("internal", "blind", "runs low"),
    "map-hose-off": ("internal", "blind overshoots", "runs map-runs"),
    "map-clipped": ("internal", "blind", "runs ceiling"),
    "gauge-wrong": ("internal", "", "runs map-runs low high blind ceiling"),
    "throttle-short": ("internal", "closes low", "runs high"),
    "as-designed:base-map": ("internal", "ceiling short", "runs low high"),
}


def test_every_fault_is_here() -> None:
    assert set(EXPECTED) == set(CONTROL_FAULTS)


@pytest.mark.parametrize("name", EXPECTED)
def test_what_a_fault_shows(name: str) -> None:
    assert_shows(name, *EXPECTED[name])


def test_leaky_seats_narrow_what_a_duty_does() -> None:
    def reach(one: Car) -> float:
        high, low = (boost_kpa(at_rpm(pulled(one, duty), 3_000.0)) for duty in (0.5, 0.0))
        return high - low

    sound = car("internal")
    assert reach(broken(sound, ["solenoid-leaky"], 1)) < 0.8 * reach(sound)


def test_the_gauge_is_no_part_of_the_log() -> None:
    one = broken(car("internal"), ["gauge-wrong"], 1)
    assert abs(one.gauge.offset_pa) >= 15e3
    assert one.sensor == car("internal").sensor
