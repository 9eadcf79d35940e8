"""The gate in pieces: ``expert/bench/instruments/gate.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("seat-ring", "external", "", "one-square"),
    ("seat-ring", "external", "seat-ring-missing", "none"),
    ("seat-ring", "external", "seat-ring-cocked", "tilted-or-two"),
    ("light-behind-valve", "external", "", "dark"),
    ("light-behind-valve", "external", "seat-ring-missing", "full-ring"),
    ("light-behind-valve", "external", "valve-debris", "crescent"),
    ("gate-direction", "external", "gate-reversed", "reversed"),
    ("gate-direction", "external", "", "right"),
    ("springs-against-chart", "external", "spring-soft", "lighter"),
    ("springs-against-chart", "external", "spring-tired", "shorter"),
    ("springs-against-chart", "external", "spring-stiff", "heavier"),
    ("springs-against-chart", "external", "", "match"),
    ("can-number", "internal", "spring-stiff", "heavier"),
    ("can-number", "internal", "spring-tired", "as-thought"),
    ("dump-bore", "external", "", "full"),
    ("gate-branch", "external", "", "wide"),
    ("gate-branch", "external", "gate-undersized", "narrow"),
    ("gate-branch", "external", "cold-air", ""),
    ("flapper-swing", "internal", "", "free"),
    ("flapper-swing", "internal", "flapper-seized-open", "stuck"),
    ("flapper-swing", "internal", "flapper-worn", "wobbles"),
    ("flapper-swing", "internal", "valve-debris", "stops-short"),
    ("rod-preload", "internal", "", "right"),
    ("rod-preload", "internal", "preload-excess", "excess"),
    ("rod-preload", "internal", "flapper-ajar", "slack"),
    ("rod-clip", "internal", "rod-off", "missing"),
    ("rod-clip", "internal", "", "fitted"),
    ("flapper-sweep", "internal", "flapper-fouls", "touches"),
    ("flapper-sweep", "internal", "", "clear"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
