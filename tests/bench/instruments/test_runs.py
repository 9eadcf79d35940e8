"""Runs with a logger: ``expert/bench/instruments/runs.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("zero-duty-log", "internal", "", "about-spring"),
    ("zero-duty-log", "internal", "signal-off", "well-above"),
    ("zero-duty-log", "internal", "charge-leak-big", "below"),
    ("zero-duty-log", "internal", "port-limited", "rising"),
    ("zero-duty-log", "ball", "", "about-spring"),
    ("boost-curve", "internal", "", "levels"),
    ("boost-curve", "internal", "signal-off", "runs-away"),
    ("boost-curve", "internal", "port-limited", "climbs-on"),
    ("boost-curve", "internal", "cooler-blocked", "sags"),
    ("boost-curve", "internal", "charge-leak-big", "hardly-comes"),
    ("boost-comes", "internal", "", "as-usual"),
    ("boost-comes", "internal", "spring-soft", "as-usual"),
    ("boost-comes", "internal", "exhaust-leak", "later"),
    ("boost-comes", "internal", "rod-off", "much-later"),
    ("boost-comes", "ball", "", "as-usual"),
    ("air-temperature", "internal", "", "mild"),
    ("air-temperature", "internal", "cold-air", "frost"),
    ("gate-direct-run", "internal", "", "on-spring"),
    ("gate-direct-run", "internal", "source-vent-swap", "on-spring"),
    ("gate-direct-run", "internal", "flapper-seized-shut", "far-above"),
    ("duty-steps", "internal", "", "steady-rise"),
    ("duty-steps", "internal", "solenoid-dead", "none"),
    ("duty-steps", "internal", "signal-off", ""),
    ("gears-and-cold", "internal", "", "same"),
    ("gears-and-cold", "internal", "port-limited", "more-in-high-gear"),
    ("when-worst", "internal", "", "steady"),
    ("throttle-log", "internal", "", "full"),
    ("throttle-log", "internal", "throttle-short", "part-shut"),
    ("throttle-log", "internal", "clutch-slip", "rpm-without-speed"),
    ("cooler-run", "internal", "", "little"),
    ("cooler-run", "internal", "cooler-blocked", "much"),
    ("flutter-when", "bypass", "", "never"),
    ("flutter-when", "bypass", "bov-spring-stiff", "on-lift"),
    ("flutter-when", "bypass", "surge-on-throttle", "foot-down"),
    ("log-trace", "internal", "", "alive"),
    ("log-trace", "internal", "map-clipped", "cut-flat"),
    ("log-trace", "internal", "line-long", "overshoots"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
