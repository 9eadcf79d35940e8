"""Which cars can have a fault: ``expert/bench/fits.py``."""

from __future__ import annotations

from expert.bench.fits import anything, both, bypass, has, one_signal, pulsed, two_signals, unpulsed
from tests.bench.cars import RIGS, car


def named(fits: object) -> set[str]:
    return {name for name in RIGS if fits(car(name))}  # type: ignore[operator]


def test_tests_of_cars() -> None:
    assert named(anything) == set(RIGS)
    assert named(unpulsed) == {"direct", "ball", "bleed"} == set(RIGS) - named(pulsed)
    assert named(two_signals) == {"upper", "four"} == set(RIGS) - named(one_signal)
    assert named(has("four-port")) == {"four"}
    assert named(both(has("three-port"), two_signals)) == {"upper"}
    assert named(bypass("manifold", "vacuum")) == {"bypass", "vacuum"}
