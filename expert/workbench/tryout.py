"""Known cases played through as the shell would, and where they miss what is expected of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event, Field, RuledOut
from expert.case.state import State, fold
from expert.model import UNKNOWN, Knowledge, KnownCase
from expert.workbench.drive import Reply, play

# So many causes are shown at the end of a case.
FIRST_CAUSES = 3

Aspect = Literal["cause", "within", "drive", "doubtful", "never"]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a case came to.

    ``named`` is the expected cause, or None when the case went to the workshop; ``first`` are the
    three likeliest causes at the end, ``wrong`` those that were named on the way and ruled out.
    """

    named: str | None
    asked: tuple[tuple[str, tuple[str, ...]], ...]
    drive: str
    doubtful: tuple[str, ...]
    first: tuple[str, ...]
    wrong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """One finding and its leave-one-out weight, in decibans, for two causes.

    ``check`` is "symptom" where the finding is a complaint. ``rival`` is None without a rival.
    """

    check: str
    answers: tuple[str, ...]
    expected: float
    rival: float | None


@dataclass(frozen=True, slots=True)
class Reasons:
    """All findings, weighed for the expected cause and for the one that beat it.

    The heaviest difference comes first. The chances are those before anything is ruled out; the
    expected one's is None on a car that cannot have it.
    """

    rival: str | None
    expected_chance: float | None
    rival_chance: float | None
    rows: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Miss:
    """One thing that did not come out as expected: what was expected, and what was found."""

    aspect: Aspect
    expected: str
    found: str
    reasons: Reasons


def outcome(consultant: Consultant, case: KnownCase) -> Outcome:
    """Play a case through until its cause is named, or the car goes to the workshop."""
    expected = case.expect.cause
    played = play(consultant, beginning(case), expected, _reply(case))
    end = consultant.consult(_state(case, played.asked, played.wrong))
    return Outcome(
        named=played.found,
        asked=played.asked,
        drive=end.verdict.drive,
        doubtful=tuple(doubt.check for doubt in end.doubtful),
        first=tuple(end.order[:FIRST_CAUSES]),
        wrong=played.wrong,
    )


def outcomes(consultant: Consultant, cases: Mapping[str, KnownCase]) -> dict[str, Outcome]:
    """The outcome of every case, by id."""
    return {name: outcome(consultant, case) for name, case in cases.items()}


def beginning(case: KnownCase) -> State:
    """What is known before anything is asked."""
    return fold(_opening(case))


def misses(knowledge: Knowledge, case: KnownCase, found: Outcome) -> list[Miss]:
    """What did not come out as the case expects, each with its reasons; empty when all did."""
    short = list(_differences(case, found))
    if not short:
        return []
    reasons = _reasons(knowledge, case, found)
    return [Miss(aspect, expected, came, reasons) for aspect, expected, came in short]


def _opening(case: KnownCase) -> list[Event]:
    told: list[tuple[Field, str | float | None]] = [
        ("setup", case.setup),
        ("gate", case.gate),
        ("bypass", case.bypass),
        *(("symptom", symptom) for symptom in case.symptoms),
        ("spring_kpa", case.spring_kpa),
        ("target_kpa", case.target_kpa),
    ]
    return [Described(field, value) for field, value in told if value is not None]


def _state(
    case: KnownCase, asked: Sequence[tuple[str, tuple[str, ...]]], ruled_out: Sequence[str]
) -> State:
    answered = [Answered(check, answers) for check, answers in asked]
    return fold([*_opening(case), *answered, *(RuledOut(cause) for cause in ruled_out)])


def _reply(case: KnownCase) -> Reply:
    """What the car answers: as told, and otherwise as the rest does."""

    def reply(consultation: Consultation, check: str) -> tuple[str, ...]:
        if check in case.answers:
            answers = case.answers[check]
            return () if answers == (UNKNOWN,) else answers
        if case.rest == "unknown":
            return ()
        return (consultation.knowledge.checks[check].sound_answer(),)

    return reply


def _differences(case: KnownCase, found: Outcome) -> list[tuple[Aspect, str, str]]:
    """Every aspect in which the outcome differs, with both sides in words."""
    expect = case.expect
    short: list[tuple[Aspect, str, str]] = []
    if found.named != expect.cause:
        short.append(("cause", expect.cause, found.named or "the workshop"))
    if expect.within is not None and len(found.asked) > expect.within:
        short.append(("within", f"at most {expect.within} checks", f"{len(found.asked)}"))
    if expect.drive is not None and found.drive != expect.drive:
        short.append(("drive", expect.drive, found.drive))
    if set(found.doubtful) != set(expect.doubtful):
        short.append(("doubtful", _listed(expect.doubtful), _listed(found.doubtful)))
    for cause in expect.never:
        if cause in found.wrong:
            short.append(("never", f"not {cause}", "named on the way"))
        elif cause in found.first:
            short.append(("never", f"not {cause}", f"among the first {FIRST_CAUSES}"))
    return short


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names) or "none"


def _reasons(knowledge: Knowledge, case: KnownCase, found: Outcome) -> Reasons:
    """All answers weighed for the expected cause and the one that was named, or nearly, instead."""
    picture = Consultant(knowledge).consult(_state(case, found.asked, ()))
    expected = case.expect.cause
    others = [*found.wrong, *(cause for cause in picture.order if cause != expected)]
    rival = others[0] if others else None
    columns = picture.network.column
    own = _weights(picture, expected) if expected in columns else {}
    theirs = _weights(picture, rival) if rival is not None else {}
    rows = [
        Reason(check, answers, own.get((check, answers), 0.0), theirs.get((check, answers)))
        for check, answers in own or theirs
    ]
    rows.sort(key=lambda row: (-abs(row.expected - (row.rival or 0.0)), row.check))
    return Reasons(
        rival,
        picture.chance(expected) if expected in columns else None,
        picture.chance(rival) if rival is not None else None,
        tuple(rows),
    )


def _weights(picture: Consultation, cause: str) -> dict[tuple[str, tuple[str, ...]], float]:
    why = picture.ranked(cause).why
    return {(reason.check, reason.answers): reason.decibans for reason in why}
