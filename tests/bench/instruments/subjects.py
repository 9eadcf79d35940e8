"""Cars for the tests of the instruments."""

from __future__ import annotations

from expert.bench.faults import broken
from expert.bench.instruments.subject import Subject
from tests.bench.cars import car


def subject(rig: str, *causes: str, seed: int = 1) -> Subject:
    """A car with one of the rigs of the tests and these faults."""
    sound = car(rig)
    return Subject(broken(sound, list(causes), seed), sound)
