"""The questions that come before any check: the car, the complaint, two pressures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from expert.case.car import GATES, NO_BYPASS, gate_missing
from expert.case.events import Described, Event, Field
from expert.case.pressures import LIMITS_KPA, PressureField, possible
from expert.case.state import State
from expert.model import Knowledge
from expert.ui.protocol import Block, Fact, Heading, Paragraph, Steps
from expert.ui.question import Question, nothing_to_set_aside
from expert.ui.reading import Expected, Given, MisreadError, Reading, Typed
from expert.units import parse_kpa, shown_kpa

NOTHING_ELSE: Final = "no"
# Gauge pressures that a petrol car's gate or charge path can have; others are slips of the hand.

_NEEDED_HINT: Final = ("or: back, how, why, help",)
_UNKNOWN_HINT: Final = ("or: unknown, back, how, why, help",)


def missing(
    knowledge: Knowledge, state: State, no_more_symptoms: bool, log_waits: bool = False
) -> Question | None:
    """The first thing that has not been said yet, or None when the checks can begin.

    ``state`` must fit the knowledge; ``no_more_symptoms`` is whether the owner has said that there
    is no other complaint. While a log waits to be read, the complaint is left to it.
    """
    if state.setup is None:
        return _setup(knowledge)
    if gate_missing(knowledge, state.setup, state.gate):
        return _gate(knowledge, state.setup)
    if "bypass" not in state.said:
        return _bypass(knowledge)
    complaint = None if log_waits else _complaint(knowledge, state, no_more_symptoms)
    if complaint is not None:
        return complaint
    if "spring_kpa" not in state.said:
        return spring()
    if "target_kpa" not in state.said:
        return target()
    return None


def _complaint(knowledge: Knowledge, state: State, no_more_symptoms: bool) -> Question | None:
    """The question for the complaint, or for another one, or None when all is said."""
    if not state.symptoms:
        return _symptom(knowledge)
    others = {
        name: symptom.title
        for name, symptom in knowledge.symptoms.items()
        if name not in state.symptoms
    }
    return _another_symptom(knowledge, others) if others and not no_more_symptoms else None


def _setup(knowledge: Knowledge) -> Question:
    setups = knowledge.setups
    return _choice(
        field="setup",
        heading="Your car",
        ask="How is the boost control plumbed?",
        answers={name: setup.title for name, setup in setups.items()},
        how=_described([(setup.title, setup.what) for setup in setups.values()]),
        why="The setup decides which parts and hoses there are, and so which faults can be there.",
        must="Look under the bonnet and type how to compare.",
    )


def _gate(knowledge: Knowledge, setup: str) -> Question:
    fitting = {
        name: knowledge.parts[part]
        for name, part in GATES.items()
        if part in knowledge.setups[setup].gates and part in knowledge.parts
    }
    return _choice(
        field="gate",
        ask="Which wastegate does the car have?",
        answers={name: part.title for name, part in fitting.items()},
        how=_described([(part.title, part.what) for part in fitting.values()]),
        why="An internal and an external gate fail in different ways.",
        must="Look at the turbo and type how to compare.",
    )


def _bypass(knowledge: Knowledge) -> Question:
    layouts = knowledge.bypasses
    answers = {name: layout.title for name, layout in layouts.items()}
    described = [(layout.title, layout.what) for layout in layouts.values()]
    return _choice(
        field="bypass",
        ask="Which bypass valve does it have, the one that lets charge air go on lift-off?",
        answers={**answers, NO_BYPASS: "The car has none"},
        how=_described(described),
        why="A bypass valve that leaks or is wrongly piped loses boost; each has its own hoses.",
        hints=_UNKNOWN_HINT,
    )


def _symptom(knowledge: Knowledge) -> Question:
    symptoms = knowledge.symptoms
    return _choice(
        field="symptom",
        heading="The complaint",
        ask="What does it do wrong? The main complaint first; you can add more after it.",
        answers={name: symptom.title for name, symptom in symptoms.items()},
        how=_described([(symptom.title, symptom.what) for symptom in symptoms.values()]),
        why="The complaint decides where to begin, and which faults could be behind it.",
        must="Type how to compare, and take what comes closest.",
    )


def _another_symptom(knowledge: Knowledge, others: Mapping[str, str]) -> Question:
    described = [(knowledge.symptoms[name].title, knowledge.symptoms[name].what) for name in others]

    def hear(typed: Typed) -> Event:
        answer = _one(typed)
        return Described("symptom", None if answer == NOTHING_ELSE else answer)

    return Question(
        prompt="Anything else",
        ask="Does it do anything else wrong?",
        expected=Expected({NOTHING_ELSE: "Nothing else", **others}, alone=NOTHING_ELSE),
        hear=hear,
        unknown=lambda: Described("symptom", None),
        skip=lambda: Described("symptom", None),
        how=lambda: _described(described),
        why=lambda: [Paragraph("A second complaint can point to a second fault.")],
        hints=_NEEDED_HINT,
    )


def spring() -> Question:
    """The question for the pressure of the gate's spring."""
    return _pressure(
        field="spring_kpa",
        heading="Two pressures",
        prompt="Spring pressure",
        ask="At what boost does the gate's spring let it open? A number with its unit.",
        how=[
            Steps(
                "Where to find it",
                (
                    "On the gate's sheet or spring chart: the colours of the springs inside add up "
                    "to a pressure.",
                    "On a factory gate: in the workshop manual, as actuator opening pressure.",
                    "From a car that ran well: the boost it made with the solenoid unplugged.",
                    "If none of that is at hand, type unknown. You can add it later with spring.",
                ),
            )
        ],
        why=(
            "Boost is judged against the spring: it says what the gate holds by itself, and at "
            "what number a test run must be broken off."
        ),
    )


def target() -> Question:
    """The question for the boost that the car should make."""
    return _pressure(
        field="target_kpa",
        prompt="Target boost",
        ask="What boost should the car make? A number with its unit.",
        how=[
            Paragraph(
                "The boost that the map or the tuner asks for at full throttle, as a gauge shows "
                "it. If you do not know, type unknown."
            )
        ],
        why="It goes into the record of the case, for whoever reads it after you.",
    )


def _choice(
    *,
    field: Field,
    ask: str,
    answers: Mapping[str, str],
    how: list[Block],
    why: str,
    heading: str = "",
    must: str = "",
    hints: tuple[str, ...] = _NEEDED_HINT,
) -> Question:
    """A question with one answer from a list; ``must`` is said to who does not know it."""

    def hear(typed: Typed) -> Event:
        return Described(field, _one(typed))

    def unknown() -> Event:
        if must:
            raise MisreadError(f"Nothing can be worked out without this. {must}")
        return Described(field, None)

    return Question(
        prompt="Your answer",
        ask=ask,
        expected=Expected(answers),
        hear=hear,
        unknown=unknown,
        skip=nothing_to_set_aside if must else unknown,
        how=lambda: how,
        why=lambda: [Paragraph(why)],
        intro=(Heading(heading),) if heading else (),
        hints=hints,
    )


def _pressure(
    *,
    field: PressureField,
    prompt: str,
    ask: str,
    how: list[Block],
    why: str,
    heading: str = "",
) -> Question:
    def hear(typed: Typed) -> Event:
        if not isinstance(typed, Reading):
            raise MisreadError("Type a number with its unit, such as 12 psi, or unknown.")
        return Described(field, _within(field, parse_kpa(typed.text)))

    def unknown() -> Event:
        return Described(field, None)

    return Question(
        prompt=prompt,
        ask=ask,
        expected=Expected({}, reading=True),
        hear=hear,
        unknown=unknown,
        skip=unknown,
        how=lambda: how,
        why=lambda: [Paragraph(why)],
        intro=(Heading(heading),) if heading else (),
        hints=_UNKNOWN_HINT,
    )


def _within(field: PressureField, value_kpa: float) -> float:
    if not possible(field, value_kpa):
        least, most = LIMITS_KPA[field]
        raise MisreadError(
            f"{shown_kpa(value_kpa)} is not what such a car has: expected {shown_kpa(least)} to "
            f"{shown_kpa(most)}. Look at the number and its unit again, or type unknown."
        )
    return round(value_kpa, 3)


def _one(typed: Typed) -> str:
    if not isinstance(typed, Given):
        raise MisreadError("Type a number or a word from the list.")
    return typed.answers[0]


def _described(entries: Sequence[tuple[str, str]]) -> list[Block]:
    return [Fact(title, text) for title, text in entries]
