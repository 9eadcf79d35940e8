"""Faults of hoses and hand controllers: ``expert/bench/faults_signal.py``.

What each wrong connection gives is common practice, checked by what air does; no source.
"""

from __future__ import annotations

import pytest

from expert.bench.car import Car
from expert.bench.faults import broken
from expert.bench.faults_signal import SIGNAL_FAULTS
from expert.bench.session import SHIFT, drive, session
from tests.bench.cars import SPRING_PA, at_rpm, boost_kpa, car, pulled
from tests.bench.signs import assert_shows

# By id: the rig, what must be seen, and what must not.
EXPECTED: dict[str, tuple[str, str, str]] = {
    "signal-off": ("internal", "runs map-runs", "low ceiling"),
    "signal-leak": ("internal", "overshoots", "runs low"),
    "signal-pinched": ("internal", "spikes map-runs", "ceiling"),
    "source-unboosted": ("internal", "runs map-runs", "low"),
    "source-post-throttle": ("internal", "", "runs map-runs ceiling low"),
    "restrictor-left-in": ("internal", "spikes overshoots", "ceiling"),
    "restrictor-blocked": ("internal", "runs map-runs", "low"),
    "checkvalve-traps": ("internal", "ceiling short", "runs spikes"),
    "checkvalve-blocks": ("internal", "runs map-runs", "low"),
    "line-long": ("internal", "spikes leaps", "ceiling low"),
    "line-wet": ("internal", "spikes", "ceiling low"),
    "tap-undrilled": ("tap", "runs map-runs", "low"),
    "tap-shrouded": ("tap", "high map-runs", "low"),
    "tap-loose": ("tap", "overshoots", "runs ceiling"),
    "source-vent-swap": ("internal", "runs", "ceiling low"),
    "gate-source-swap": ("internal", "ceiling short", "runs low high"),
    "gate-vent-swap": ("internal", "runs map-runs", "ceiling"),
    "vent-on-common": ("internal", "runs map-runs", "ceiling"),
    "source-on-common": ("internal", "runs ceiling", "map-runs"),
    "vent-blocked": ("internal", "ceiling short", "runs high"),
    "vent-boosted": ("internal", "ceiling short", "runs high"),
    "upper-source-vent-swap": ("upper", "runs", "ceiling"),
    "upper-source-swap": ("upper", "map-runs", "runs ceiling"),
    "upper-vent-swap": ("upper", "ceiling", "runs"),
    "upper-source-on-common": ("upper", "runs", "ceiling"),
    "upper-vent-on-common": ("upper", "ceiling", "runs"),
    "upper-lower-swap": ("upper", "runs map-runs", "ceiling"),
    "upper-hose-off": ("upper", "ceiling", "runs"),
    "upper-vent-blocked": ("upper", "map-runs", "runs low"),
    "upper-vent-boosted": ("upper", "runs", "ceiling"),
    "upper-checkvalve": ("upper", "map-runs", "runs low"),
    "upper-shut-in": ("upper", "high creeps", "runs"),
    "upper-hose-blocked": ("upper", "high creeps", "runs"),
    "fourport-swap-source-vent": ("four", "runs", "ceiling"),
    "fourport-swap-lower-upper": ("four", "runs", "ceiling"),
    "fourport-swap-source-upper": ("four", "runs map-runs", "ceiling"),
    "fourport-swap-vent-lower": ("four", "runs map-runs", "ceiling"),
    "fourport-swap-source-lower": ("four", "", "runs map-runs high low"),
    "fourport-swap-vent-upper": ("four", "", "runs map-runs high low"),
    "fourport-rotated-shut": ("four", "runs", "ceiling"),
    "fourport-rotated-vented": ("four", "runs map-runs", "ceiling"),
    "fourport-upper-off": ("four", "short", "runs map-runs"),
    "uppers-capped": ("external", "high creeps", "low ceiling"),
    "spare-lower-open": ("external", "runs map-runs", "ceiling"),
    "signal-on-upper": ("external", "runs map-runs", "ceiling"),
    "chambers-teed": ("external", "runs map-runs", "ceiling"),
    "signal-on-water": ("external", "runs map-runs", "ceiling"),
    "upper-on-manifold": ("external", "runs map-runs", "ceiling"),
    "manual-setting-high": ("ball", "high overshoots", "runs ceiling"),
    "manual-setting-low": ("ball", "ceiling short", "runs high"),
    "manual-reversed": ("ball", "runs", "ceiling"),
    "manual-bleed-plugged": ("ball", "ceiling short", "runs"),
    "ball-stuck": ("ball", "runs", "ceiling"),
    "ball-leaks": ("ball", "ceiling", "runs high"),
    "bleed-reversed": ("bleed", "ceiling", "runs"),
    "bleed-restrictor-missing": ("bleed", "ceiling", "runs high"),
    "bleed-restrictor-fine": ("bleed", "runs", "ceiling"),
    "bleed-needle-shut": ("bleed", "ceiling", "runs high"),
    "bleed-needle-off": ("bleed", "runs", "ceiling"),
}


def test_every_fault_is_here() -> None:
    assert set(EXPECTED) == set(SIGNAL_FAULTS)


@pytest.mark.parametrize("name", EXPECTED)
def test_what_a_fault_shows(name: str) -> None:
    assert_shows(name, *EXPECTED[name])


def test_a_source_after_the_throttle_follows_it() -> None:
    """On a change of gear the gate is drawn shut by vacuum, where a sound one keeps some boost."""

    def least(one: Car) -> float:
        rows, parts = drive(one, [0.0]), session(one, [0.0])
        return min(row.lower_pa for row in rows if parts[row.segment].name == SHIFT)

    sound = car("internal")
    assert least(broken(sound, ["source-post-throttle"], 1)) < -30e3
    assert least(sound) > -5e3


@pytest.mark.parametrize("name", ["fourport-swap-source-lower", "fourport-swap-vent-upper"])
def test_a_four_port_valve_that_only_lets_out_has_less_authority(name: str) -> None:
    sound = car("four")
    duty = 0.3
    held_by = boost_kpa(at_rpm(pulled(sound, duty), 5_000.0))
    less = boost_kpa(at_rpm(pulled(broken(sound, [name], 1), duty), 5_000.0))
    assert SPRING_PA / 1e3 - 10.0 < less < held_by - 4.0
