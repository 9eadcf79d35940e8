"""The exhaust: ``expert/bench/instruments/exhaust.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("exhaust-leak-listen", "internal", "", "none"),
    ("exhaust-smoke", "internal", "", "none"),
    ("exhaust-look", "internal", "", "clear"),
    ("exhaust-look", "internal", "exhaust-blocked", "blocked"),
    ("exhaust-pressure", "internal", "", "low"),
    ("exhaust-pressure", "internal", "exhaust-blocked", "over"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())


def test_a_leak_before_the_turbine_is_found_by_ear_and_by_smoke() -> None:
    one = subject("internal", "exhaust-leak")
    assert answer("exhaust-leak-listen", one) != ("none",)
    assert answer("exhaust-smoke", one) != ("none",)
