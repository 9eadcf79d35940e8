"""Controllers by hand: ``expert/bench/instruments/manual.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("manual-controller", "ball", "", "right"),
    ("manual-controller", "ball", "manual-setting-high", "setting"),
    ("manual-controller", "ball", "manual-reversed", "reversed"),
    ("manual-controller", "ball", "manual-bleed-plugged", "plugged"),
    ("manual-controller", "ball", "ball-leaks", "right"),
    ("manual-controller", "internal", "", ""),
    ("ball-bench", "ball", "", "lifts"),
    ("ball-bench", "ball", "ball-leaks", "leaks"),
    ("ball-bench", "ball", "ball-stuck", "shut"),
    ("restrictor-bore", "bleed", "", "as-sheet"),
    ("restrictor-bore", "bleed", "bleed-restrictor-missing", "none-or-wide"),
    ("restrictor-bore", "bleed", "bleed-restrictor-fine", "fine"),
    ("needle-blow", "bleed", "", "free"),
    ("needle-blow", "bleed", "bleed-needle-off", "early"),
    ("needle-blow", "bleed", "bleed-needle-shut", "shut"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
