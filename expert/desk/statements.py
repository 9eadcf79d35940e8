"""What was understood of a message, as events of a case: all of them claims, of origin mail."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.case.events import Answered, Described, Event, Noted
from expert.case.measured import SpringUnknownError, measured_answer
from expert.case.pressures import possible
from expert.case.state import State
from expert.evidence.mail.understood import Fact, Understanding
from expert.model import Knowledge

NAMED: Final = "named by mail: "
ZERO_DUTY = "zero-duty-log"
FIRST_MOVEMENT = "first-movement"


def events_of(understanding: Understanding, knowledge: Knowledge) -> list[Event]:
    """The car as described and the answers as claimed, in an order that does not depend on words.

    Only ids that the knowledge holds, and pressures that a car can have, are passed on.
    """
    events: list[Event] = []
    if understanding.setup in knowledge.setups:
        events.append(Described("setup", understanding.setup))
        if understanding.gate is not None and knowledge.setups[str(understanding.setup)].gates:
            events.append(Described("gate", understanding.gate))
    else:
        # Parts that leave the setup open still say which it cannot be, and who answers a check
        # has the parts that it needs.
        needed = {
            part
            for fact in understanding.facts
            if fact.check in knowledge.checks
            for part in knowledge.checks[fact.check].needs
        }
        named = sorted(needed.union(understanding.parts))
        if named:
            events.append(Noted(NAMED + ", ".join(named)))
    if understanding.bypass in knowledge.bypasses:
        events.append(Described("bypass", understanding.bypass))
    events += [
        Described("symptom", name) for name in understanding.symptoms if name in knowledge.symptoms
    ]
    spring_kpa, target_kpa = understanding.spring_kpa, understanding.target_kpa
    if spring_kpa is not None and possible("spring_kpa", spring_kpa):
        events.append(Described("spring_kpa", spring_kpa))
    if target_kpa is not None and possible("target_kpa", target_kpa):
        events.append(Described("target_kpa", target_kpa))
    answers = answers_of(understanding.facts, knowledge)
    if understanding.recent_work is not None:
        answers.setdefault("what-changed", (understanding.recent_work,))
    readings = (
        (ZERO_DUTY, understanding.resting_kpa),
        (FIRST_MOVEMENT, understanding.pump_kpa),
    )
    for check, kpa in readings:
        answer = _read(knowledge, check, kpa, spring_kpa)
        if answer is not None:
            # A number says it better than words about it.
            answers[check] = (answer,)
    return [*events, *(Answered(check, given, "mail") for check, given in sorted(answers.items()))]


def named_parts(state: State) -> frozenset[str]:
    """The parts that the messages of a case have named."""
    return frozenset(
        part
        for note in state.notes
        if note.startswith(NAMED)
        for part in note.removeprefix(NAMED).split(", ")
    )


def answers_of(facts: Sequence[Fact], knowledge: Knowledge) -> dict[str, tuple[str, ...]]:
    """The answers of facts by check; a sound answer beside a fault of the same check goes."""
    given: dict[str, list[str]] = {}
    for fact in facts:
        check = knowledge.checks.get(fact.check)
        if check is not None and fact.answer in check.answers:
            given.setdefault(fact.check, []).append(fact.answer)
    result = {}
    for name, answers in given.items():
        check = knowledge.checks[name]
        faults = [one for one in answers if one != check.sound_answer()]
        kept = faults if check.kind == "nominal" and faults else answers
        result[name] = tuple(dict.fromkeys(kept if check.takes_several() else kept[-1:]))
    return result


def _read(
    knowledge: Knowledge, check_id: str, kpa: float | None, spring_kpa: float | None
) -> str | None:
    """The answer that a pressure gives to a check that is answered by one."""
    check = knowledge.checks.get(check_id)
    if kpa is None or check is None or check.measure is None:
        return None
    try:
        return measured_answer(check.measure, kpa, spring_kpa)
    except SpringUnknownError:
        return None
