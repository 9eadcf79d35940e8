"""The boost solenoid on the bench: ``expert/bench/instruments/solenoid.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("blow-unpowered", "internal", "", "right-pair"),
    ("blow-unpowered", "upper", "", "right-pair"),
    ("blow-unpowered", "four", "", "right-pair"),
    ("blow-unpowered", "internal", "source-vent-swap", "other-pair"),
    ("blow-unpowered", "internal", "gate-vent-swap", "source-to-vent"),
    ("blow-unpowered", "internal", "solenoid-stuck-on", "other-pair"),
    ("blow-unpowered", "internal", "solenoid-leaky", "all-leak"),
    ("blow-unpowered", "internal", "solenoid-dead", "right-pair"),
    ("blow-unpowered", "four", "fourport-rotated-shut", "other-pair"),
    ("blow-unpowered", "four", "fourport-rotated-vented", "source-to-vent"),
    ("blow-energised", "internal", "", "right-pair"),
    ("blow-energised", "internal", "solenoid-dead", "no-change"),
    ("blow-energised", "internal", "solenoid-jammed", "no-change"),
    ("blow-energised", "internal", "solenoid-unpowered", "right-pair"),
    ("blow-energised", "internal", "gate-source-swap", "source-to-vent"),
    ("blow-energised", "internal", "source-vent-swap", "source-to-gate"),
    ("blow-energised", "four", "fourport-rotated-shut", "source-to-vent"),
    ("blow-energised", "four", "fourport-rotated-vented", "source-to-gate"),
    ("solenoid-holds", "internal", "solenoid-leaky", "fast-fall"),
    ("solenoid-holds", "internal", "", "holds"),
    ("coil-ohms", "internal", "solenoid-dead", "open-or-short"),
    ("coil-ohms", "internal", "solenoid-jammed", "on-sheet"),
    ("control-wire", "internal", "driver-shorted", "short"),
    ("control-wire", "internal", "", "no-short"),
    ("control-continuity", "internal", "solenoid-wire-open", "open"),
    ("control-continuity", "internal", "", "continuous"),
    ("solenoid-supply", "internal", "", "battery"),
    ("solenoid-click", "internal", "", "crisp"),
    ("solenoid-click", "internal", "solenoid-wire-open", "silent"),
    ("solenoid-click", "internal", "driver-shorted", "silent"),
    ("duty-direction", "internal", "", "resting-pair"),
    ("duty-direction", "internal", "driver-inverted", "reversed"),
    ("duty-direction", "internal", "driver-shorted", "always-driven"),
    ("duty-direction", "internal", "solenoid-stuck-on", "no-change"),
    ("valve-and-table", "internal", "", "match"),
    ("valve-and-table", "internal", "frequency-wrong", "frequency-off"),
    ("valve-and-table", "four", "fourport-old-duty", "three-port-table"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
