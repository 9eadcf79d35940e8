"""Sensor, map and codes: ``expert/bench/instruments/electronics.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("key-on-pressure", "internal", "", "within-2-kpa"),
    ("key-on-pressure", "internal", "map-offset", "off-more"),
    ("key-on-pressure", "internal", "map-hose-off", "within-2-kpa"),
    ("sensor-hose", "internal", "map-hose-off", "off"),
    ("sensor-hose", "internal", "", "on-sound"),
    ("sensor-pumped", "internal", "", "follows"),
    ("sensor-pumped", "internal", "map-offset", "off-gauge"),
    ("sensor-pumped", "internal", "map-clipped", "stops-short"),
    ("sensor-range", "internal", "", "ample"),
    ("sensor-range", "internal", "map-clipped", "short"),
    ("duty-commanded", "internal", "", "well-above-zero"),
    ("duty-commanded", "internal", "as-designed:base-map", "zero"),
    ("duty-commanded", "internal", "limp-mode", "taken-away"),
    ("duty-commanded", "direct", "", ""),
    ("duty-in-log", "internal", "", "some"),
    ("duty-in-log", "internal", "limp-mode", "none"),
    ("duty-in-log", "ball", "", ""),
    ("correction-on", "internal", "", "corrects"),
    ("correction-on", "internal", "duty-low", "table-only"),
    ("limits-compared", "internal", "", "clear"),
    ("limits-compared", "internal", "limit-tight", "touches"),
    ("limits-compared", "internal", "signal-off", "far-over"),
    ("gauge-look", "internal", "gauge-wrong", "off-zero"),
    ("gauge-look", "internal", "", "right"),
    ("throttle-travel", "internal", "", "full"),
    ("throttle-travel", "internal", "throttle-short", "short"),
    ("throttle-travel", "internal", "limp-mode", ""),
    ("second-gauge", "internal", "", "agree"),
    ("second-gauge", "internal", "gauge-wrong", "differ"),
    ("second-gauge", "internal", "map-offset", "differ"),
    ("gauge-log-feel", "internal", "", "agree"),
    ("gauge-log-feel", "internal", "gauge-wrong", "gauge-alone"),
    ("gauge-log-feel", "internal", "map-hose-off", "log-alone"),
    ("gauge-log-feel", "internal", "clutch-slip", "feel-alone"),
    ("stored-codes", "internal", "", "none"),
    ("stored-codes", "internal", "signal-off", "overboost"),
    ("stored-codes", "internal", "solenoid-dead", "wastegate-solenoid underboost"),
    ("stored-codes", "internal", "solenoid-jammed", "underboost"),
    ("stored-codes", "internal", "throttle-short", "throttle"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
