"""Turbo and engine: ``expert/bench/instruments/engine.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import answer
from tests.bench.instruments.subjects import subject

# Check, rig, faults, and what is found. What each tool shows is common practice; no source.
FOUND = [
    ("turbo-shaft", "internal", "", "free"),
    ("compressor-map", "internal", "", "inside"),
    ("compressor-map", "internal", "as-designed:small-turbo", "past"),
    ("engine-at-idle", "internal", "", "sound"),
    ("mixture-and-knock", "internal", "", "normal"),
    ("mixture-and-knock", "internal", "engine-fault", "lean-or-knock"),
]


@pytest.mark.parametrize(("check", "rig", "faults", "found"), FOUND)
def test_what_is_found(check: str, rig: str, faults: str, found: str) -> None:
    assert answer(check, subject(rig, *faults.split())) == tuple(found.split())


def test_damage_is_felt_at_the_wheel() -> None:
    assert answer("turbo-shaft", subject("internal", "turbo-damaged")) != ("free",)
    assert answer("engine-at-idle", subject("internal", "engine-fault")) != ("sound",)
