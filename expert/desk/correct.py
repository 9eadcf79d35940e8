"""What support staff set right in a case that came by mail; the journal only ever grows."""

from __future__ import annotations

from collections.abc import Sequence

from expert.case.events import Answered, Described, Event, Undone
from expert.case.state import STEPS, effective, fold
from expert.errors import UsageError
from expert.text import clean


def dropped(events: Sequence[Event], name: str) -> list[Event]:
    """The events that take a check's answer or a symptom out of a case. Raises UsageError.

    An answer becomes unknown. A symptom is taken back together with every later step, and the
    later steps are then taken again.
    """
    state = fold(events)
    finding = state.finding(name)
    if finding is not None:
        return [Answered(name, (), finding.origin)]
    if name not in state.symptoms:
        held = [*state.symptoms, *(one.check for one in state.findings)]
        there = ", ".join(held) or "nothing"
        raise UsageError(
            f"{clean(name, 60)!r} is not in this case, so it cannot be dropped: {there}."
        )
    steps = [event for event in effective(events) if isinstance(event, STEPS)]
    symptom = Described("symptom", name)
    first = next(k for k, event in enumerate(steps) if event == symptom)
    later = steps[first:]
    return [*(Undone() for _ in later), *(event for event in later if event != symptom)]


def corrections(events: Sequence[Event], said: Sequence[Event], drop: Sequence[str]) -> list[Event]:
    """The events of a correction: first what is dropped, then what is said instead.

    An answer that staff give for the customer stays a claim of the mail; the first symptom that is
    said goes before those that the case has.
    """
    made: list[Event] = []
    for name in drop:
        made += dropped([*events, *made], name)
    symptoms = [
        event for event in said if isinstance(event, Described) and event.field == "symptom"
    ]
    if symptoms:
        held = fold([*events, *made]).symptoms
        named = [event.value for event in symptoms]
        for name in held:
            made += dropped([*events, *made], name)
        rest = [Described("symptom", name) for name in held if name not in named]
        made += [*symptoms, *rest]
    for event in said:
        if isinstance(event, Answered):
            made.append(Answered(event.check, event.answers, "mail"))
        elif event not in symptoms:
            made.append(event)
    return made
