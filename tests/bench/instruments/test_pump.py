"""A hand pump at the gate: ``expert/bench/instruments/pump.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("pump-hosed-port", "internal", "", "opens"),
    ("pump-hosed-port", "external", "signal-on-upper", "seats-harder"),
    ("pump-hosed-port", "upper", "upper-lower-swap", "seats-harder"),
    ("pump-hosed-port", "external", "signal-on-water", "nothing"),
    ("pump-hosed-port", "external", "spare-lower-open", "nothing"),
    ("pump-hosed-port", "external", "chambers-teed", "nothing"),
    ("pump-hosed-port", "internal", "diaphragm-torn", "nothing"),
    ("pump-hosed-port", "internal", "flapper-seized-shut", "nothing"),
    ("pump-hosed-port", "internal", "rod-off", "nothing"),
    ("first-movement", "internal", "", "within-15"),
    ("first-movement", "external", "", "within-15"),
    ("first-movement", "internal", "spring-soft", "low"),
    ("first-movement", "internal", "spring-stiff", "none"),
    ("first-movement", "internal", "preload-excess", "high"),
    ("first-movement", "internal", "diaphragm-torn", "none"),
    ("travel-at-20", "internal", "", "full"),
    ("travel-at-20", "internal", "spring-stiff", "none"),
    ("travel-at-20", "internal", "flapper-seized-open", "none"),
    ("hold-60s", "internal", "", "steady"),
    ("hold-60s", "internal", "diaphragm-torn", "wont-hold"),
    ("hold-60s", "external", "spare-lower-open", "wont-hold"),
    ("release", "internal", "", "smooth"),
    ("release", "internal", "stem-sticks", "jerky"),
    ("release", "internal", "flapper-ajar", "stays-open"),
    ("release", "internal", "flapper-seized-shut", ""),
    ("release", "internal", "flapper-seized-open", "stays-open"),
    ("spare-lowers", "external", "", "capped"),
    ("spare-lowers", "external", "spare-lower-open", "open"),
    ("spare-lowers", "external", "signal-on-upper", "open"),
    ("upper-breathes", "external", "", "puff"),
    ("upper-breathes", "external", "uppers-capped", "none"),
    ("upper-breathes", "external", "diaphragm-torn", "weak"),
    ("upper-puffs", "upper", "", "puff"),
    ("upper-puffs", "four", "", "puff"),
    ("upper-puffs", "upper", "upper-vent-blocked", "none"),
    ("upper-puffs", "upper", "upper-checkvalve", "none"),
    ("upper-puffs", "four", "solenoid-stuck-on", "none"),
    ("upper-hold", "upper", "", "holds"),
    ("upper-hold", "upper", "upper-hose-off", "wont-hold"),
    ("air-or-water", "external", "signal-on-water", "water"),
    ("air-or-water", "external", "", "air"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
