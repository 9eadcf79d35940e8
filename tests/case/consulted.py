"""Consultations on the small knowledge, for the tests of what follows from a case."""

from __future__ import annotations

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event, Mended
from expert.case.state import fold
from expert.model import Knowledge
from tests.small import knowledge

FRESH = (
    Answered("red-flags", ("none",)),
    Answered("what-changed", ("just-fitted",)),
    Answered("hose-trace", ("matches",)),
)
FOUND = (*FRESH, Answered("lamp", ("ring",)), Mended("ring-missing"))


def consulted(
    *events: Event, setup: str = "outer", symptom: str = "lazy", book: Knowledge | None = None
) -> Consultation:
    """What follows from a car of this setup with this complaint and these events."""
    said: list[Event] = [Described("setup", setup), Described("symptom", symptom), *events]
    return Consultant(book or knowledge()).consult(fold(said))
