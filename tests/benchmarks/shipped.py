"""Cars to measure with: every setup and complaint of the shipped knowledge."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from expert.case.car import NO_BYPASS
from expert.case.events import Event
from expert.case.prefill import events_from
from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge


@cache
def knowledge() -> Knowledge:
    return load([shipped_folder()])


def cars() -> Iterator[tuple[str, list[Event]]]:
    """Setup and complaint as a name, and the events that describe such a car."""
    shipped = knowledge()
    for setup, plumbing in shipped.setups.items():
        for symptom in shipped.symptoms:
            events = events_from(
                shipped,
                setup=setup,
                gate="external" if plumbing.gates else None,
                bypass=NO_BYPASS,
                symptoms=[symptom],
                spring="50 kPa",
                target="100 kPa",
                answers=[],
            )
            yield f"{setup}, {symptom}", events
