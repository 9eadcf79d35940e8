"""The registry of faults: ``expert/bench/faults.py``."""

from __future__ import annotations

import pytest

from expert.bench.faults import FAULTS, FaultError, broken, fitting
from tests.bench.cars import RIGS, car


def test_every_fault_fits_some_car_and_says_how() -> None:
    fits = {fault.id for name in RIGS for fault in fitting(car(name))}
    assert fits == set(FAULTS)
    assert all(fault.how for fault in FAULTS.values())


@pytest.mark.parametrize("name", RIGS)
def test_a_fault_changes_the_car(name: str) -> None:
    sound = car(name)
    changed = {fault.id for fault in fitting(sound) if broken(sound, [fault.id], 1) != sound}
    same = {fault.id for fault in fitting(sound)} - changed
    assert same <= {"as-designed:no-bypass", "as-designed:spring-only"}


def test_a_seed_draws_how_bad_it_is() -> None:
    one, same, other = (broken(car("internal"), ["valve-debris"], seed) for seed in (1, 1, 2))
    assert one == same != other


def test_two_faults_act_together() -> None:
    both = broken(car("internal"), ["valve-debris", "solenoid-dead"], 1)
    assert both.wastegate.leak_m2 > 0.0
    assert both.solenoid.driven(1.0) == 0.0


def test_what_is_refused() -> None:
    with pytest.raises(FaultError, match="no effect for 'moon'"):
        broken(car("internal"), ["moon"], 1)
    with pytest.raises(FaultError, match="cannot have 'seat-ring-missing'"):
        broken(car("internal"), ["seat-ring-missing"], 1)
    with pytest.raises(FaultError, match="Name fewer"):
        broken(car("external"), ["signal-on-water", "signal-pinched"], 1)
