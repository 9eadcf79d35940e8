"""The questions for the first case of a new entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from expert.case.car import GATES, parts_of
from expert.model import DANGERS, UNKNOWN, Cause, Check, Knowledge
from expert.workbench.add.alike import together
from expert.workbench.add.ask_shared import Row, agreed, one
from expert.workbench.add.compose import Plain
from expert.workbench.add.draft import Script
from expert.workbench.add.naming import id_from
from expert.workbench.add.question import Question, Value, yes_or_no
from expert.workbench.add.setting import NewCase, Setting

ANY: Final = "any"
_INVENTED: Final = "invented"
_NONE: Final = "none"
# What every conversation asks before it comes to the parts.
_OPENING: Final = ("red-flags", "what-changed", "worked-on", "hose-trace")
_DRIVE: Final[Mapping[str, str]] = {
    "ok": "It may be driven",
    "caution": "Gently, and off boost",
    "stop": "Not at all",
    ANY: "The case does not say",
}
_VERDICT_OF: Final[Mapping[str, str]] = {"none": "ok", "caution": "caution", "stop": "stop"}


@dataclass(frozen=True, slots=True)
class Subject:
    """The cause that a case is about, with what is known of it; ``checks`` with the new one."""

    id: str
    cause: Cause
    symptoms: tuple[str, ...]
    given: Mapping[str, Row]
    checks: Mapping[str, Check]


def first_case(setting: Setting, subject: Subject) -> Script[NewCase | None]:
    """The story of one car that has the cause, or None."""
    wanted = yield from agreed(
        yes_or_no(
            "case",
            "Shall we write its first case?",
            "One car that had it: the case proves that it is found, today and after every change.",
            True,
        )
    )
    if not wanted:
        return None
    title = yield from one(
        Question("case/title", "What happened, in a line?", "As one would tell it to a colleague.")
    )
    taken = setting.cases
    name = yield from one(
        Question(
            "case/id",
            "Which id does the case get?",
            "Small letters, digits, hyphens.",
            "id",
            default=(id_from(title, taken, "case"),),
            taken=taken,
        )
    )
    entry: dict[str, Plain] = {"title": title}
    parts = yield from _car(setting.knowledge, subject, entry)
    entry["symptoms"] = yield from _complaints(setting.knowledge, subject)
    spring = yield from one(
        Question(
            "case/spring",
            "Which spring does its gate have?",
            "With its unit, such as 7 psi. Nothing typed: nobody knows.",
            "pressure",
            default=(),
        )
    )
    if spring:
        entry["spring-kpa"] = spring
    entry["answers"] = yield from _answers(subject, parts)
    entry["expect"] = yield from _expected(setting.knowledge, subject, entry["symptoms"])
    entry["basis"] = yield from one(
        Question(
            "case/basis",
            "Where does the case come from?",
            "Invented, or whose car it was in a word; no names of people.",
            default=(_INVENTED,),
        )
    )
    return NewCase(name, entry)


def _car(knowledge: Knowledge, subject: Subject, entry: dict[str, Plain]) -> Script[frozenset[str]]:
    """Setup, gate and bypass of the car, put into the entry; its parts are returned."""
    needs = subject.cause.needs
    setups = {
        name: setup.title
        for name, setup in knowledge.setups.items()
        if _possible(knowledge, name, needs)
    }
    setup = yield from one(
        Question(
            "case/setup", "How is its boost control plumbed?", "One of the setups.", "one", setups
        )
    )
    entry["setup"] = setup
    gate = None
    gates = {
        name: knowledge.parts[part].title
        for name, part in GATES.items()
        if part in knowledge.setups[setup].gates
        and together(knowledge, (*knowledge.setups[setup].parts, part), needs)
    }
    if gates:
        gate = yield from one(
            Question(
                "case/gate", "Which gate does it have?", "The setup leaves it open.", "one", gates
            )
        )
        entry["gate"] = gate
    bypass = yield from _bypass(knowledge, setup, gate, needs)
    if bypass != _NONE:
        entry["bypass"] = bypass
    return parts_of(knowledge, setup, gate, bypass)


def _possible(knowledge: Knowledge, setup: str, needs: tuple[str, ...]) -> bool:
    layout = knowledge.setups[setup]
    bypasses = {part for one in knowledge.bypasses.values() for part in one.parts}
    return {*needs} <= {*layout.parts, *layout.gates, *bypasses}


def _bypass(
    knowledge: Knowledge, setup: str, gate: str | None, needs: tuple[str, ...]
) -> Script[str]:
    parts = parts_of(knowledge, setup, gate, None)
    layouts = {
        name: one.title
        for name, one in knowledge.bypasses.items()
        if parts.union(one.parts).issuperset(needs)
    }
    if parts.issuperset(needs):
        layouts[_NONE] = "None, or nobody knows"
    if list(layouts) == [_NONE]:
        return _NONE
    return (
        yield from one(
            Question(
                "case/bypass",
                "Which bypass valve does it have?",
                "Some checks belong to it.",
                "one",
                layouts,
                (_NONE,) if _NONE in layouts else None,
            )
        )
    )


def _complaints(knowledge: Knowledge, subject: Subject) -> Script[tuple[str, ...]]:
    first = list(dict.fromkeys((*subject.symptoms, *knowledge.symptoms)))
    choices = {name: knowledge.symptoms[name].title for name in first}
    return (
        yield Question(
            "case/symptoms",
            "What was the complaint?",
            "The complaint first, then what else was seen.",
            "several",
            choices,
            (first[0],) if subject.symptoms else None,
            least=1,
        )
    )


def _answers(subject: Subject, parts: frozenset[str]) -> Script[dict[str, Plain]]:
    """What the car answers to the checks that were done on it."""
    possible = {name: check for name, check in subject.checks.items() if check.fits(parts)}
    opening = [name for name in _OPENING if name in possible]
    shown = [name for name in subject.given if name in possible and name not in opening]
    likely = (*opening, *shown)
    others = [name for name in possible if name not in likely]
    chosen = yield Question(
        "case/checks",
        "Which checks did it answer?",
        "Those that are left out answer that nobody can tell. Nothing typed: the first "
        f"{len(likely)}.",
        "several",
        {name: possible[name].ask for name in (*likely, *others)},
        likely,
        least=1,
    )
    answers: dict[str, Plain] = {}
    for name in chosen:
        found = yield from _answer(name, possible[name])
        answers[name] = found[0] if len(found) == 1 else found
    return answers


def _answer(name: str, check: Check) -> Script[Value]:
    return (
        yield Question(
            f"case/answer/{name}",
            check.ask,
            "What the car really showed; do not copy the likeliest answer from above.",
            "several" if check.takes_several() else "one",
            {**check.answers, UNKNOWN: "Nobody can tell"},
            alone=(UNKNOWN, *([check.sound_answer()] if check.kind == "nominal" else [])),
            least=1,
        )
    )


def _expected(knowledge: Knowledge, subject: Subject, symptoms: Plain) -> Script[dict[str, Plain]]:
    expect: dict[str, Plain] = {"cause": subject.id}
    within = yield from one(
        Question(
            "case/within",
            "After how many checks, at the most, must it be named?",
            "Red flags and history count too. Nothing typed: the case does not say.",
            "whole",
            default=(),
        )
    )
    if within:
        expect["within"] = within
    dangers = [subject.cause.danger]
    dangers += [knowledge.symptoms[str(name)].danger for name in symptoms]
    worst = max(dangers, key=DANGERS.index)
    drive = yield from one(
        Question(
            "case/drive",
            "May it be driven, in the end?",
            "The verdict that the case must come to.",
            "one",
            _DRIVE,
            (_VERDICT_OF[worst],),
        )
    )
    if drive != ANY:
        expect["drive"] = drive
    return expect
