"""The plumbing of a car while it is driven: ``expert/bench/plumbing.py``."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.bench.faults import broken
from expert.bench.plumbing import Plumbing
from tests.bench.cars import car


def test_air_is_shut_in_only_while_the_solenoid_rests() -> None:
    plumbing = Plumbing(broken(car("upper"), ["upper-vent-blocked"], 1))
    assert plumbing.gate.shut_in_m3 is not None
    plumbing.drive(0.8)
    assert plumbing.gate.shut_in_m3 is None
    plumbing.drive(0.0)
    assert plumbing.gate.shut_in_m3 is not None


def test_what_the_gate_sees_goes_with_the_solenoid() -> None:
    plumbing = Plumbing(car("internal"))
    seen = []
    for share in (0.0, 0.4, 1.0):
        plumbing.drive(share)
        seen.append(plumbing.sight.lower_pa(100e3, 100e3))
    assert seen[0] > seen[1] > seen[2]
    assert plumbing.shut.lower_pa(100e3, 100e3) == seen[0]
    assert plumbing.pulled.lower_pa(100e3, 100e3) == seen[2]


def test_what_makes_it_late_adds_up() -> None:
    usual = Plumbing(car("internal")).lag_s
    late = Plumbing(replace(car("internal"), extra_lag_s=0.3)).lag_s
    assert late - usual == pytest.approx(0.3, abs=0.01)
