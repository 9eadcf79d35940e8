"""Which checks can be answered: ``expert/bench/instruments/registry.py``."""

from __future__ import annotations

import pytest

from expert.bench.instruments.registry import INSTRUMENTS, answer
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from tests.bench.cars import RIGS
from tests.bench.instruments.subjects import subject


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


def test_every_instrument_answers_a_check_that_there_is(shipped: Knowledge) -> None:
    assert INSTRUMENTS.keys() <= shipped.checks.keys()
    assert len(INSTRUMENTS) >= 80


def test_a_check_without_an_instrument_is_not_known() -> None:
    assert answer("setting-steps", subject("ball")) == ()


# Sound, and yet not what is most usual: a car of the bench without a bypass valve, and its map.
KNOWN_ODD = {
    "bypass-look": ("none-fitted",),
    "flutter-when": ("on-lift",),
    "correction-on": ("corrects",),
}


@pytest.mark.parametrize("rig", RIGS)
def test_a_sound_car_gives_sound_answers(rig: str, shipped: Knowledge) -> None:
    one = subject(rig)
    for name in INSTRUMENTS:
        check = shipped.checks[name]
        if check.kind == "history" or not check.fits(one.car.rig.parts | {"boost-solenoid"}):
            continue
        found = answer(name, one)
        assert not found or found == (check.sound_answer(),) or found == KNOWN_ODD.get(name)
