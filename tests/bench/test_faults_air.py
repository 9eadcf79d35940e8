"""Faults of pipes, exhaust, turbo and bypass valve: ``expert/bench/faults_air.py``.

What each wrong connection gives is common practice, checked by what air does; no source.
"""

from __future__ import annotations

import pytest

from expert.bench.faults import broken
from expert.bench.faults_air import AIR_FAULTS
from tests.bench.cars import at_rpm, boost_kpa, car, pulled
from tests.bench.signs import assert_shows

# By id: the rig, what must be seen, and what must not.
EXPECTED: dict[str, tuple[str, str, str]] = {
    "charge-leak-small": ("internal", "short", "runs high ceiling"),
    "charge-leak-big": ("internal", "low lags ceiling", "runs high"),
    "cooler-blocked": ("internal", "fades low", "runs high"),
    "inlet-choked": ("internal", "fades", "runs high"),
    "exhaust-blocked": ("internal", "short", "runs high"),
    "exhaust-leak": ("internal", "creeps short", "runs high ceiling"),
    "turbo-damaged": ("internal", "low lags", "runs high"),
    "engine-fault": ("internal", "", "runs map-runs low high"),
    "clutch-slip": ("internal", "flares", "runs low"),
    "surge-on-throttle": ("internal", "surges", "runs low"),
    "as-designed:large-turbo": ("internal", "lags", "runs high ceiling"),
    "as-designed:small-turbo": ("internal", "fades", "runs high lags"),
    "as-designed:no-bypass": ("internal", "flutters", "runs low high"),
    "as-designed:spring-only": ("direct", "ceiling", "runs low high"),
    "bypass-open": ("vacuum", "low lags", "runs high"),
    "bypass-no-vacuum": ("vacuum", "flutters", "runs low high"),
    "bypass-torn": ("bypass", "low", "runs high"),
    "bov-hose": ("bypass", "low ceiling", "runs high"),
    "bov-pre-throttle": ("bypass", "flutters", "runs low"),
    "bov-spring-soft": ("bypass", "", "runs high flutters"),
    "bov-spring-stiff": ("bypass", "flutters", "runs low"),
}


def test_every_fault_is_here() -> None:
    assert set(EXPECTED) == set(AIR_FAULTS)


@pytest.mark.parametrize("name", EXPECTED)
def test_what_a_fault_shows(name: str) -> None:
    assert_shows(name, *EXPECTED[name])


def test_an_engine_at_fault_is_lean_and_slow() -> None:
    sound, faulty = (
        pulled(one, 0.0) for one in (car("internal"), broken(car("internal"), ["engine-fault"], 1))
    )
    assert faulty[0].mixture > sound[0].mixture + 1.0
    assert at_rpm(faulty, 3_500.0).time_s > at_rpm(sound, 3_500.0).time_s + 1.0


def test_a_soft_bypass_spring_loses_boost() -> None:
    sound = car("bypass")
    soft = boost_kpa(at_rpm(pulled(broken(sound, ["bov-spring-soft"], 1), None), 5_000.0))
    assert soft < boost_kpa(at_rpm(pulled(sound, None), 5_000.0)) - 3.0
