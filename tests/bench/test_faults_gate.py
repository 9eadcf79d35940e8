"""Faults of the gate: ``expert/bench/faults_gate.py``.

What each wrong connection gives is common practice, checked by what air does; no source.
"""

from __future__ import annotations

import pytest

from expert.bench.faults_gate import GATE_FAULTS
from tests.bench.signs import assert_shows

# By id: the rig, what must be seen, and what must not.
EXPECTED: dict[str, tuple[str, str, str]] = {
    "spring-soft": ("internal", "low", "runs high"),
    "spring-stiff": ("internal", "high", "low ceiling"),
    "spring-tired": ("internal", "low", "runs high"),
    "diaphragm-torn": ("internal", "runs map-runs", "low ceiling"),
    "stem-sticks": ("internal", "overshoots", "runs low ceiling"),
    "valve-debris": ("internal", "low lags", "runs high"),
    "cold-air": ("internal", "creeps", "low lags ceiling"),
    "blown-open": ("external", "low", "runs high lags"),
    "seat-ring-missing": ("external", "low lags ceiling short", "runs creeps"),
    "seat-ring-cocked": ("external", "low lags", "runs high"),
    "gate-reversed": ("external", "high", "low ceiling"),
    "gate-undersized": ("external", "creeps", "low lags ceiling"),
    "dump-restricted": ("external", "creeps", "low lags ceiling"),
    "preload-excess": ("internal", "high", "low ceiling"),
    "flapper-ajar": ("internal", "low lags", "runs high ceiling"),
    "flapper-worn": ("internal", "low lags", "runs high"),
    "flapper-seized-shut": ("internal", "runs map-runs", "low"),
    "flapper-seized-open": ("internal", "low lags short", "runs"),
    "flapper-fouls": ("internal", "creeps", "low ceiling"),
    "rod-off": ("internal", "low lags ceiling", "runs high"),
    "port-limited": ("internal", "creeps", "low ceiling"),
}


def test_every_fault_is_here() -> None:
    assert set(EXPECTED) == set(GATE_FAULTS)


@pytest.mark.parametrize("name", EXPECTED)
def test_what_a_fault_shows(name: str) -> None:
    assert_shows(name, *EXPECTED[name])
