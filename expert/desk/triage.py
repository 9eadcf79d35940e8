"""What a message amounts to: ranking, drive verdict, what to ask next, and how urgent it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from typing import Final

from expert.case.car import GATES, gate_missing
from expert.case.events import Event
from expert.case.fitted import consultable, fitted
from expert.case.offer import Offer
from expert.case.safety import RED_FLAGS, Drive, standing_dangers
from expert.case.state import State, fold
from expert.desk.asking import MailConsultant, MailConsultation
from expert.desk.attached import Log
from expert.desk.statements import events_of, named_parts
from expert.evidence.mail.figures import Figure
from expert.evidence.mail.judgement import MUST_STAND
from expert.evidence.mail.understood import Read, Understanding
from expert.model import DANGERS, Knowledge

MOST_QUESTIONS: Final = 3
MOST_OFFERS: Final = 16
MOST_CAUSES: Final = 10
# Setups to weigh where none is told: those of base maps, common practice, no source.
USUAL_SETUPS: Final = ("internal-nipple", "external-single")
URGENCY: Final[Mapping[str, int]] = {"stop": 3, "caution": 2, "ok": 1}
# Nobody has judged a broken message: somebody must, before those that were judged harmless.
URGENCY_OF_BROKEN: Final = 2
# Words that may tell of danger are read by somebody before what was judged harmless.
URGENCY_OF_ALARM: Final = 2
# Why a car must stand whose message may tell of danger in words that were not understood.
FEARED: Final = ("What is written may tell of danger, so the car must stand until it is read.",)
_REMEMBERED: Final = 256


@dataclass(frozen=True, slots=True)
class Query:
    """Something to ask a customer: a check, or a fact about the car where ``check`` is empty."""

    check: str
    about: str
    ask: str


@dataclass(frozen=True)
class Assessed:
    """What follows from a state, over the setups that it may be about.

    ``drive`` is None where nothing could be judged. ``causes`` are ids with probability, the mean
    over the setups; ``consultations`` are those of the setups, the first of which speaks for all,
    none where there is no complaint.
    """

    drive: Drive | None
    because: tuple[str, ...]
    causes: tuple[tuple[str, float], ...]
    consultations: tuple[MailConsultation, ...]

    @property
    def consultation(self) -> MailConsultation | None:
        """The consultation that speaks for all, if there is a complaint."""
        return self.consultations[0] if self.consultations else None

    @cached_property
    def offers(self) -> tuple[Offer, ...]:
        """The checks that can be done and answered by mail, in the order to ask them."""
        return tuple(islice(self._made(), MOST_OFFERS))

    @cached_property
    def first_offers(self) -> tuple[Offer, ...]:
        """As many of them as are asked at once."""
        return tuple(islice(self._made(), MOST_QUESTIONS))

    def _made(self) -> Iterator[Offer]:
        """The offers, one after the other, worked out as they are asked for."""
        if not self.consultations:
            return
        first = self.consultations[0]
        checks = first.knowledge.checks
        for name in first.to_ask:
            if all(checks[name].fits(one.network.parts) for one in self.consultations):
                made = first.offered(name)
                if isinstance(made, Offer):
                    yield made


_NOTHING: Final = Assessed("ok", (), (), ())
_NOT_JUDGED: Final = Assessed(None, (), (), ())


@dataclass(frozen=True)
class Triage:
    """A message with what it amounts to.

    ``news`` is what it added to an earlier case, ``logs`` are the tables that hang on it.
    """

    read: Read
    state: State
    assessed: Assessed
    knowledge: Knowledge
    urgency: int
    case: str = ""
    news: tuple[Event, ...] = ()
    logs: tuple[Log, ...] = ()

    @property
    def kind(self) -> str:
        """complaint, vague, unrelated or broken."""
        return self.read.understanding.kind

    @property
    def to_be_read(self) -> bool:
        """Does it hold words that may tell of danger, though nothing that was understood does?"""
        told = self.read.understanding
        return bool(told.alarming) and (self.assessed.drive != "stop" or self.feared)

    @property
    def feared(self) -> bool:
        """Must the car stand only because of what its message may tell?"""
        return self.assessed.because == FEARED

    @property
    def about_a_car(self) -> bool:
        """Is there anything to answer?"""
        return self.kind in {"complaint", "vague"}

    @cached_property
    def queries(self) -> tuple[Query, ...]:
        """At most three things to ask: danger first, then what is unclear, then what tells most."""
        if not self.about_a_car:
            return ()
        checks = [Query(item.id, "", item.check.ask) for item in self.assessed.first_offers]
        if self.assessed.consultation is None:
            checks = [
                Query(name, "", self.knowledge.checks[name].ask)
                for name in (RED_FLAGS, "what-changed")
                if name in self.knowledge.checks and not self.state.answers(name)
            ]
        intake = self._intake()
        first = [one for one in checks if one.check == RED_FLAGS]
        rest = [one for one in checks if one.check != RED_FLAGS]
        room = MOST_QUESTIONS - len(first)
        # At least one check is always among them, where there is one.
        intake = intake[: room - bool(rest and not first)]
        return tuple((first + intake + rest)[:MOST_QUESTIONS])

    def _intake(self) -> list[Query]:
        """What has to be known of the car itself."""
        state = self.state
        found = [
            Query("", "unit", unit_question(one)) for one in self.read.understanding.unclear[:1]
        ]
        if not state.symptoms:
            found.append(Query("", "symptom", SYMPTOM_QUESTION))
        if state.setup is None:
            found.append(Query("", "setup", SETUP_QUESTION))
        elif gate_missing(self.knowledge, state.setup, state.gate):
            found.append(Query("", "gate", GATE_QUESTION))
        if state.spring_kpa is None and state.symptoms:
            found.append(Query("", "spring", SPRING_QUESTION))
        return found


class Desk:
    """Triages messages with one consultant; remembers what it has worked out for like cars."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self._consultant = MailConsultant(knowledge)
        self._remembered: dict[object, Assessed] = {}

    def triage(
        self,
        read: Read,
        events: Sequence[Event] | None = None,
        case: str = "",
        news: tuple[Event, ...] = (),
        logs: tuple[Log, ...] = (),
    ) -> Triage:
        """What a message amounts to, by itself or with the events of the case it belongs to."""
        understanding = read.understanding
        known = events_of(understanding, self.knowledge) if events is None else events
        state = fitted(fold(known), self.knowledge)
        in_case = bool(case) and bool(state.symptoms or state.findings)
        if understanding.kind == "broken":
            return Triage(read, State(), _NOT_JUDGED, self.knowledge, URGENCY_OF_BROKEN, case, news)
        alarm = URGENCY_OF_ALARM if understanding.alarming else 0
        if understanding.kind == "unrelated" and not in_case:
            return Triage(read, State(), _NOTHING, self.knowledge, alarm, case, news, logs)
        assessed = self.assessed(state, understanding)
        if understanding.danger >= MUST_STAND and assessed.drive != "stop":
            assessed = replace(assessed, drive="stop", because=FEARED)
        vague = not state.symptoms and assessed.drive != "stop"
        urgency = 1 if vague else URGENCY[assessed.drive or "ok"]
        urgency = max(urgency, alarm)
        return Triage(read, state, assessed, self.knowledge, urgency, case, news, logs)

    def assessed(self, state: State, understanding: Understanding) -> Assessed:
        """Verdict, ranking and checks for a state; the same for states that say the same."""
        states = self._possible(state, understanding)
        key = tuple(_key(one) for one in states) or _key(state)
        known = self._remembered.get(key)
        if known is None:
            known = self._assess(states) if states else self._without_car(state)
            if len(self._remembered) >= _REMEMBERED:
                self._remembered.clear()
            self._remembered[key] = known
        return known

    def _possible(self, state: State, understanding: Understanding) -> list[State]:
        """The state with every setup and gate that the message leaves open, if it complains."""
        if not state.symptoms:
            return []
        setups = [state.setup] if state.setup else self._setups(state)
        found = []
        for setup in setups:
            if setup not in self.knowledge.setups:
                continue
            for gate in self._gates(setup, state, understanding):
                found.append(replace(state, setup=setup, gate=gate))
        return [one for one in found if consultable(one, self.knowledge)]

    def _setups(self, state: State) -> list[str]:
        """The setups that have every part that was named; the usual ones where none tells."""
        named = named_parts(state)
        layouts = {
            name: {*setup.parts, *setup.gates} for name, setup in self.knowledge.setups.items()
        }
        telling = {
            part
            for part in named
            if 0 < sum(part in own for own in layouts.values()) < len(layouts)
        }
        fitting = [name for name, own in layouts.items() if telling <= own]
        usual = [name for name in fitting if name in USUAL_SETUPS]
        if not telling:
            return usual
        # The usual ones first: the first speaks for all.
        return sorted(fitting, key=lambda name: name not in USUAL_SETUPS) or list(USUAL_SETUPS)

    def _gates(self, setup: str, state: State, told: Understanding) -> list[str | None]:
        if not gate_missing(self.knowledge, setup, None):
            return [None]
        gates = [name for name, part in GATES.items() if part in named_parts(state)]
        gate = state.gate or told.gate or (gates[0] if len(gates) == 1 else None)
        return [gate] if gate else list(GATES)

    def _assess(self, states: list[State]) -> Assessed:
        consultations = [self._consultant.consult(one) for one in states]
        weight = 1.0 / len(consultations)
        mean: dict[str, float] = {}
        for one in consultations:
            for cause, chance in zip(one.network.causes, one.probability, strict=True):
                mean[cause] = mean.get(cause, 0.0) + weight * float(chance)
        order = sorted(mean, key=lambda name: (-mean[name], name))[:MOST_CAUSES]
        verdicts = [one.verdict for one in consultations]
        # An unknown setup must not hide a danger, nor make one: the middle of the verdicts counts.
        drives = sorted(DANGERS_OF_DRIVE.index(one.drive) for one in verdicts)
        drive = DANGERS_OF_DRIVE[drives[len(drives) // 2]]
        because = next(one.because for one in verdicts if one.drive == drive)
        ranked = tuple((name, mean[name]) for name in order)
        return Assessed(drive, because, ranked, tuple(consultations))

    def _without_car(self, state: State) -> Assessed:
        """What can be said without a complaint: the dangers that stand, and the first check."""
        dangers = standing_dangers(self.knowledge, state)
        worst = max((DANGERS.index(danger) for danger, _ in dangers), default=1)
        drive: Drive = "stop" if worst == len(DANGERS) - 1 else "caution"
        because = tuple(text for danger, text in dangers if danger == DANGERS[worst])
        return Assessed(drive, because, (), ())


DANGERS_OF_DRIVE: Final[tuple[Drive, ...]] = ("ok", "caution", "stop")
SYMPTOM_QUESTION: Final = (
    "What does boost do, in your own words: too little, too much, stuck at one number, creeping "
    "up, swinging? And which numbers do you see, in which unit?"
)
SETUP_QUESTION: Final = (
    "Is the wastegate built into the turbo or a separate one, and what controls it: a solenoid "
    "with three or four ports, a hand controller, or nothing?"
)
GATE_QUESTION: Final = "Is the wastegate built into the turbo, or a separate one on the manifold?"
SPRING_QUESTION: Final = "Which spring is in the gate, in psi, bar or kPa?"


def unit_question(figure: Figure) -> str:
    """Asks what an unclear figure means."""
    number = f"{figure.value:g}"
    if figure.unit is None:
        return f"You wrote {number}: is that psi, bar or kPa?"
    return (
        f"You wrote {number} {figure.unit}: does the gauge show zero with the engine off, or about "
        "100 kPa (an absolute reading)?"
    )


def _key(state: State) -> object:
    return (
        (state.setup, state.gate, state.bypass, state.symptoms, state.spring_kpa),
        (state.target_kpa, state.mended, state.complaints, state.confirmed, state.ruled_out),
        (state.set_aside, state.lacking),
        tuple(sorted((one.check, one.answers, one.origin, one.epoch) for one in state.findings)),
    )
