"""Hoses, pills and taps: ``expert/bench/instruments/hoses.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("hose-condition", "internal", "", "sound-short"),
    ("hose-condition", "internal", "signal-leak", "cracked-or-off"),
    ("hose-condition", "internal", "signal-off", "cracked-or-off"),
    ("hose-condition", "internal", "line-long", "long"),
    ("hose-blow", "internal", "", "clear"),
    ("hose-blow", "internal", "signal-pinched", "pinched"),
    ("hose-blow", "internal", "restrictor-blocked", "blocked"),
    ("hose-blow", "internal", "checkvalve-blocks", "blocked"),
    ("hose-blow", "internal", "checkvalve-traps", "clear"),
    ("hose-blow", "internal", "line-wet", "wet"),
    ("hose-blow", "upper", "upper-hose-blocked", "pinched"),
    ("pills-and-valves", "internal", "", "as-table"),
    ("pills-and-valves", "internal", "restrictor-left-in", "pill-differs"),
    ("pills-and-valves", "internal", "checkvalve-traps", "valve-found"),
    ("pills-and-valves", "bleed", "", "as-table"),
    ("pills-and-valves", "bleed", "bleed-restrictor-missing", "pill-differs"),
    ("pill-bore", "internal", "", "open"),
    ("pill-bore", "internal", "restrictor-left-in", "narrow"),
    ("pill-bore", "internal", "restrictor-blocked", "blocked"),
    ("pill-bore", "bleed", "bleed-restrictor-fine", "narrow"),
    ("source-air", "internal", "", "strong"),
    ("source-air", "internal", "source-unboosted", "none"),
    ("source-air", "tap", "tap-undrilled", "none"),
    ("source-air", "tap", "tap-shrouded", "weak"),
    ("source-air", "internal", "charge-leak-big", "weak"),
    ("tap-tug", "tap", "tap-loose", "moves"),
    ("tap-tug", "tap", "", "tight"),
    ("tap-bore", "tap", "tap-undrilled", "blind"),
    ("tap-bore", "tap", "tap-shrouded", "partly"),
    ("tap-bore", "tap", "", "clear"),
    ("vent-blow", "internal", "", "free"),
    ("vent-blow", "internal", "vent-blocked", "blocked"),
    ("vent-blow", "internal", "vent-boosted", "boosted"),
    ("vent-blow", "internal", "source-vent-swap", "boosted"),
    ("vent-blow", "internal", "gate-vent-swap", "blocked"),
    ("vent-blow", "direct", "", ""),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
