"""The bypass valve: ``expert/bench/instruments/bypass.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("bypass-vacuum-when", "bypass", "", "as-layout"),
    ("bypass-vacuum-when", "bypass", "bov-hose", "never"),
    ("bypass-vacuum-when", "vacuum", "bypass-open", "in-boost"),
    ("bypass-vacuum-when", "vacuum", "bypass-no-vacuum", "never"),
    ("bypass-vacuum-when", "internal", "", ""),
    ("bypass-vacuum-hold", "bypass", "bypass-torn", "wont-hold"),
    ("bypass-vacuum-hold", "bypass", "", "holds"),
    ("bypass-bench-air", "bypass", "", "tight"),
    ("bypass-bench-air", "bypass", "bov-spring-soft", "early-or-stiff"),
    ("bypass-bench-air", "bypass", "bov-spring-stiff", "early-or-stiff"),
    ("bypass-bench-air", "bypass", "bypass-torn", "leaks"),
    ("bypass-look", "bypass", "", "valve"),
    ("bypass-look", "internal", "", "none-fitted"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())
