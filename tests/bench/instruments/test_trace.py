"""Tracing hoses: ``expert/bench/instruments/trace.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("hose-trace", "internal", "", "matches"),
    ("hose-trace", "four", "", "matches"),
    ("hose-trace", "bleed", "", "matches"),
    ("hose-trace", "internal", "source-vent-swap", "source-vent-crossed"),
    ("hose-trace", "internal", "gate-source-swap", "gate-source-crossed"),
    ("hose-trace", "internal", "gate-vent-swap", "gate-vent-crossed"),
    ("hose-trace", "internal", "vent-on-common", "ports-rotated"),
    ("hose-trace", "internal", "source-post-throttle", "after-throttle"),
    ("hose-trace", "internal", "source-unboosted", "wrong-port"),
    ("hose-trace", "internal", "vent-boosted", "wrong-port"),
    ("hose-trace", "internal", "vent-blocked", "cap-wrong"),
    ("hose-trace", "internal", "line-long", "long-route"),
    ("hose-trace", "external", "signal-on-upper", "upper-fed"),
    ("hose-trace", "external", "chambers-teed", "upper-fed"),
    ("hose-trace", "external", "signal-on-water", "wrong-port"),
    ("hose-trace", "external", "uppers-capped", "cap-wrong"),
    ("hose-trace", "external", "spare-lower-open", "cap-wrong"),
    ("hose-trace", "upper", "upper-lower-swap", "gate-upper-crossed"),
    ("hose-trace", "upper", "upper-vent-swap", "upper-vent-crossed"),
    ("hose-trace", "upper", "upper-source-swap", "source-upper-crossed"),
    ("hose-trace", "upper", "upper-hose-off", "upper-hose-off"),
    ("hose-trace", "upper", "upper-shut-in", "upper-hose-off cap-wrong"),
    ("hose-trace", "four", "fourport-swap-lower-upper", "gate-upper-crossed"),
    ("hose-trace", "four", "fourport-rotated-shut", "ports-rotated"),
    ("hose-trace", "ball", "manual-reversed", "controller-reversed"),
    ("hose-trace", "bleed", "bleed-reversed", "controller-reversed"),
    ("hose-trace", "bleed", "bleed-needle-off", "needle-off"),
    ("hose-trace", "bypass", "bov-hose", "bypass-hose-wrong"),
    ("hose-trace", "internal", "diaphragm-torn", "matches"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
