"""A whole case played through for a car whose fault is known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Event, RuledOut
from expert.case.state import State, advanced
from expert.case.steps import AskStep, ConcludeStep, Step, WorkshopStep

# No case of ours takes as many steps; a plan that does is going round in circles.
MOST_STEPS = 60

Reply = Callable[[Consultation, str], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Played:
    """How a case went: what was asked and answered, the minutes, and the cause it came to.

    ``found`` is None when the car went to a workshop; ``steps`` are all consultations' steps.
    """

    asked: tuple[tuple[str, tuple[str, ...]], ...]
    minutes: float
    found: str | None
    wrong: tuple[str, ...]
    steps: tuple[Step, ...]


def play(consultant: Consultant, state: State, cause: str, reply: Reply) -> Played:
    """Follow the steps for a car with this one cause until it is named or given up.

    A conclusion that is wrong costs the minutes of that repair, and the case goes on without it.
    """
    asked: list[tuple[str, tuple[str, ...]]] = []
    wrong: list[str] = []
    steps: list[Step] = []
    minutes = 0.0
    while len(steps) < MOST_STEPS:
        consultation = consultant.consult(state)
        step = consultation.step
        steps.append(step)
        event: Event
        if isinstance(step, AskStep):
            answers = reply(consultation, step.offer.id)
            asked.append((step.offer.id, answers))
            minutes += step.offer.minutes
            event = Answered(step.offer.id, answers)
        elif isinstance(step, ConcludeStep) and step.cause.id == cause:
            return Played(tuple(asked), minutes, cause, tuple(wrong), tuple(steps))
        elif isinstance(step, ConcludeStep):
            wrong.append(step.cause.id)
            minutes += step.cause.cause.minutes
            event = RuledOut(step.cause.id)
        else:
            assert isinstance(step, WorkshopStep)
            break
        state = advanced(state, event)
    return Played(tuple(asked), minutes, None, tuple(wrong), tuple(steps))
