"""One car through the loop: its log, what is read of it, the ranking, and further checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.bench.car import Car
from expert.bench.instruments.registry import answer
from expert.bench.instruments.subject import Subject
from expert.bench.logger import DIALECTS, written
from expert.bench.pull import Row, run
from expert.bench.session import session
from expert.case.car import parts_of
from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event, RuledOut
from expert.case.state import State, advanced, fold
from expert.case.steps import AskStep, ConcludeStep
from expert.evidence.log.read import Terms, Testimony, testimony_of_bytes
from expert.model import Knowledge
from tests.loop.scenario import SOUND, Variation
from tests.loop.truth import symptoms

FIRST: Final = 5
FURTHER: Final = 5
# What an owner says with a log, unasked.
TOLD: Final = ("red-flags", "what-changed", "worked-on")
# What he answers from memory when he is asked. Nobody has to touch the car, so it is no check.
REMEMBERED: Final = frozenset(
    {*TOLD, "when-worst", "gauge-log-feel", "flutter-when", "boost-comes", "air-temperature"}
)
# The share of its limits at which a symptom may be called one, and need not.
LOOSE: Final = 0.5


@dataclass(frozen=True)
class Outcome:
    """How one car went through."""

    car: str
    cause: str
    true: tuple[str, ...]
    may: tuple[str, ...]
    shown: tuple[str, ...]
    can_show: bool
    usable: bool
    findings: tuple[tuple[str, tuple[str, ...]], ...] = ()
    alike: tuple[str, ...] = ()
    place: int | None = None
    place_apart: int | None = None
    order: tuple[str, ...] = ()
    drive: str = ""
    grave: bool = False
    asked: tuple[tuple[str, tuple[str, ...]], ...] = ()
    wrong: tuple[str, ...] = ()
    first_at_last: bool = False
    last_order: tuple[str, ...] = ()
    last_drive: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Drive:
    """What was driven: a session, and one before it where a hand controller had to be wound out."""

    rows: tuple[Row, ...]
    wound_out: tuple[Row, ...] | None = None


def driven(car: Car) -> Drive:
    """The session: key on, idle, a pull at the lowest setting, one by the map, a change of gear.

    A controller by hand cannot be wound up in a pull, so its lowest setting has a log of its own.
    """
    rows = tuple(run(car, session(car, [0.0, None])))
    if "manual-controller" not in car.rig.parts:
        return Drive(rows)
    lowest = replace(car, setting=0.0)
    return Drive(rows, tuple(run(lowest, session(lowest, [None]))))


def log_of(one: Variation, rows: Sequence[Row], seed: int) -> bytes:
    """The bytes of the file that the logger of this car writes."""
    return written(rows, DIALECTS[one.dialect], seed).encode("utf-8")


def outcome(
    consultant: Consultant,
    one: Variation,
    cause: str,
    car: Car,
    drive: Drive,
    *,
    visible: bool,
    alike: tuple[str, ...],
) -> Outcome:
    """One car from its log to the cause.

    ``visible`` says that its log differs from that of the car without the fault; ``alike`` are the
    other faults that this car could have with the same log.
    """
    knowledge = consultant.knowledge
    subject = Subject(car, one.sound, drive.rows, drive.wound_out)
    true = symptoms(subject)
    parts = parts_of(knowledge, one.setup, one.gate, one.bypass)
    terms = Terms(parts, one.spring_kpa, car.target_pa / 1e3)
    name = f"{one.dialect}.csv"
    said = [testimony_of_bytes(knowledge, terms, name, log_of(one, drive.rows, one.number))]
    if drive.wound_out is not None:
        lowest = Terms(parts, one.spring_kpa, lowest=True)
        data = log_of(one, drive.wound_out, one.number)
        said.append(testimony_of_bytes(knowledge, lowest, f"lowest-{name}", data))
    shown = _shown(knowledge, said)
    base = Outcome(
        one.name,
        cause,
        true,
        tuple(dict.fromkeys((*true, *symptoms(subject, LOOSE)))),
        shown,
        visible,
        any(log.usable for log in said),
        _gathered(knowledge, said),
        alike,
        reason=said[0].reason,
    )
    complaint = shown or true
    if not complaint or cause == SOUND:
        return base
    return _consulted(consultant, one, subject, base, complaint)


def _shown(knowledge: Knowledge, said: Sequence[Testimony]) -> tuple[str, ...]:
    """The symptoms of all logs, in the order of the readings.

    The second is of a controller wound out, where boost at the spring is as it should be.
    """
    found = {shown.symptom for shown in said[0].symptoms}
    found |= {shown.symptom for log in said[1:] for shown in log.symptoms} - {"spring-ceiling"}
    order = dict.fromkeys(reading.symptom for reading in knowledge.readings.values())
    return tuple(symptom for symptom in order if symptom is not None and symptom in found)


def _gathered(
    knowledge: Knowledge, said: Sequence[Testimony]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The findings by check; a check with several answers keeps them all.

    Of two logs the first counts, unless it only shows that nothing is wrong.
    """
    found: dict[str, tuple[str, ...]] = {}
    for log in said:
        own: dict[str, tuple[str, ...]] = {}
        for finding in log.findings:
            own[finding.check] = (*own.get(finding.check, ()), finding.answer)
        for check, answers in own.items():
            if found.get(check, sound := (knowledge.checks[check].sound_answer(),)) == sound:
                found[check] = answers
    return tuple(found.items())


def _consulted(
    consultant: Consultant,
    one: Variation,
    subject: Subject,
    base: Outcome,
    complaint: tuple[str, ...],
) -> Outcome:
    events: list[Event] = [Described("setup", one.setup)]
    if one.gate is not None:
        events.append(Described("gate", one.gate))
    events.append(Described("bypass", one.bypass))
    events += [Described("symptom", symptom) for symptom in complaint]
    events.append(Described("spring_kpa", one.spring_kpa))
    events += [Answered(check, answers, "log") for check, answers in base.findings]
    state = fold(events)
    alone = consultant.consult(state)
    place = _place(alone, base.cause)
    grave = consultant.knowledge.causes[base.cause].danger == "stop"
    state = _told(consultant, state, subject)
    played = _further(consultant, state, subject, base.cause)
    return Outcome(
        base.car,
        base.cause,
        base.true,
        base.may,
        base.shown,
        base.can_show,
        base.usable,
        base.findings,
        base.alike,
        place,
        _place(alone, base.cause, base.alike),
        tuple(alone.order[:8]),
        alone.verdict.drive,
        grave,
        *played,
        reason=base.reason,
    )


def _place(found: Consultation, cause: str, alike: tuple[str, ...] = ()) -> int | None:
    """Its place in the ranking, those that no log tells from it left out."""
    order = [name for name in found.order if name not in alike]
    return order.index(cause) + 1 if cause in order else None


def _told(consultant: Consultant, state: State, subject: Subject) -> State:
    """What the owner says with the log."""
    for check in TOLD:
        if check == "worked-on" and state.answers("what-changed") != ("just-fitted",):
            continue
        state = advanced(state, Answered(check, answer(check, subject)))
    return state


Played = tuple[tuple[tuple[str, tuple[str, ...]], ...], tuple[str, ...], bool, tuple[str, ...], str]


def _further(consultant: Consultant, state: State, subject: Subject, cause: str) -> Played:
    """Up to so many further checks; a wrong conclusion that is looked at counts as one.

    Questions that the owner answers from memory do not.
    """
    asked: list[tuple[str, tuple[str, ...]]] = []
    wrong: list[str] = []
    while True:
        found = consultant.consult(state)
        drive = found.verdict.drive
        step = found.step
        named = isinstance(step, ConcludeStep) and step.cause.id == cause
        checks = sum(check not in REMEMBERED for check, _ in asked) + len(wrong)
        if named or checks >= FURTHER:
            first = named or bool(found.order and found.order[0] == cause)
            return tuple(asked), tuple(wrong), first, tuple(found.order[:5]), drive
        if isinstance(step, AskStep):
            answers = answer(step.offer.id, subject)
            asked.append((step.offer.id, answers))
            state = advanced(state, Answered(step.offer.id, answers))
        elif isinstance(step, ConcludeStep):
            wrong.append(step.cause.id)
            state = advanced(state, RuledOut(step.cause.id))
        else:
            first = bool(found.order and found.order[0] == cause)
            return tuple(asked), tuple(wrong), first, tuple(found.order[:5]), drive
