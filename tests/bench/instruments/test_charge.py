"""The way of the air: ``expert/bench/instruments/charge.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("smoke-test", "internal", "", "none"),
    ("smoke-test", "bleed", "", "none"),
    ("smoke-test", "internal", "charge-leak-small", "wisp"),
    ("smoke-test", "internal", "charge-leak-big", "plume"),
    ("smoke-test", "internal", "signal-off", "wisp"),
    ("smoke-test", "internal", "diaphragm-torn", "wisp"),
    ("pressure-test", "internal", "", "holds"),
    ("pressure-test", "internal", "signal-leak", "hiss"),
    ("pressure-test", "internal", "charge-leak-big", "wont-build"),
    ("pressure-test", "internal", "gate-vent-swap", "hiss"),
    ("inlet-look", "internal", "", "clear"),
    ("inlet-look", "internal", "inlet-choked", "choked"),
    ("cooler-look", "internal", "", "open"),
    ("cooler-look", "internal", "cooler-blocked", "shut"),
    ("core-drop", "internal", "cooler-blocked", "drop"),
    ("core-drop", "internal", "", "even"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
