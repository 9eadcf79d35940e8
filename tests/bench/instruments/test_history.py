"""What an owner tells: ``expert/bench/instruments/history.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("red-flags", "internal", "", "none"),
    ("red-flags", "internal", "turbo-damaged", "metal-noise"),
    ("what-changed", "internal", "", "nothing"),
    ("what-changed", "internal", "source-vent-swap", "just-fitted"),
    ("what-changed", "external", "seat-ring-missing", "just-fitted"),
    ("what-changed", "internal", "diaphragm-torn", "nothing"),
    ("what-changed", "internal", "cold-air", "nothing"),
    ("what-changed", "external", "gate-undersized", "just-fitted"),
    ("what-changed", "internal", "solenoid-dead", "nothing"),
    ("worked-on", "internal", "source-vent-swap", "hoses"),
    ("worked-on", "external", "seat-ring-missing", "gate"),
    ("worked-on", "internal", "loop-aggressive", "map"),
    ("worked-on", "internal", "diaphragm-torn", ""),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
