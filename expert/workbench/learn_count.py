"""What closed cases say, as counts: bounded by the knowledge and not by the number of cases."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from expert.case.car import parts_of
from expert.case.consult import history_of
from expert.case.state import Finding, State
from expert.model import Check, Knowledge
from expert.reasoning.network import applicable, fresh_share
from expert.workbench.learn_read import Closed

# Stands for the cause where a car answered whose cause the check does not name, or no longer has.
SOUND = ""


class Car(NamedTuple):
    """All that the priors of a case depend on.

    ``fresh`` holds, for every cause of the knowledge, how far the car counts as just worked on.
    """

    parts: frozenset[str]
    complaint: str
    fresh: tuple[float, ...]


class Answer(NamedTuple):
    """An answer to a check by a car with a cause, or ``SOUND``; several flags are sorted."""

    check: str
    cause: str
    answers: tuple[str, ...]
    origin: str


@dataclass(slots=True)
class Tally:
    """How often each cause was confirmed on each kind of car, and each answer given."""

    causes: Counter[tuple[Car, str]] = field(default_factory=Counter)
    answers: Counter[Answer] = field(default_factory=Counter)

    def add(self, case: Closed, knowledge: Knowledge) -> None:
        """Count one case."""
        self.causes[_car(case.before, knowledge), case.cause] += 1
        self.answers.update(_answers(case, knowledge))

    @property
    def cases(self) -> int:
        """How many cases were counted."""
        return sum(self.causes.values())


def together(tallies: Iterable[Tally]) -> Tally:
    """All counts in one."""
    whole = Tally()
    for tally in tallies:
        whole.causes.update(tally.causes)
        whole.answers.update(tally.answers)
    return whole


def _car(state: State, knowledge: Knowledge) -> Car:
    assert state.setup is not None
    parts = parts_of(knowledge, state.setup, state.gate, state.bypass)
    history = history_of(knowledge, state)
    # The knowledge knows few areas of work, so there are few kinds of cars.
    fresh = tuple(fresh_share(cause, history) for cause in knowledge.causes.values())
    return Car(parts, state.symptoms[0], fresh)


def _answers(case: Closed, knowledge: Knowledge) -> Iterable[Answer]:
    state = case.whole
    assert state.setup is not None
    parts = parts_of(knowledge, state.setup, state.gate, state.bypass)
    for finding in state.findings:
        check = knowledge.checks.get(finding.check)
        if check is None or not check.fits(parts) or not _valid(check, finding.answers):
            continue
        there = _there(state, finding, case.cause)
        if len(there) > 1:
            # With two faults nobody can say which of them answered.
            continue
        named = [cause for cause in there if cause in check.given]
        cause = named[0] if named else SOUND
        yield Answer(finding.check, cause, tuple(sorted(finding.answers)), finding.origin)


def _valid(check: Check, answers: tuple[str, ...]) -> bool:
    """Is it an answer of this check, one, or several flags?"""
    if check.kind == "history" or not answers or not set(answers) <= check.answers.keys():
        return False
    if len(answers) == 1:
        return True
    return (
        check.kind == "nominal"
        and len(set(answers)) == len(answers)
        and check.sound_answer() not in answers
    )


def _there(state: State, finding: Finding, cause: str) -> set[str]:
    """The causes that were there, as far as they were found, when the finding was made."""
    there = set(state.mended[finding.epoch :])
    if cause not in state.mended[: finding.epoch]:
        there.add(cause)
    return there


def shows(knowledge: Knowledge, parts: frozenset[str], complaint: str) -> list[float]:
    """P(complaint | cause alone) for every cause of the knowledge; 0 where the car cannot have it.

    The leak and the slip of the policy count in, as in every ranking.
    """
    policy = knowledge.policy
    shown = knowledge.symptoms[complaint].causes
    possible = set(applicable(knowledge, parts))
    slip, leak = policy.slip.asked, policy.symptom_leak
    return [
        (1.0 - slip) * (1.0 - (1.0 - leak) * (1.0 - shown.get(cause, 0.0))) + slip / 2.0
        if cause in possible
        else 0.0
        for cause in knowledge.causes
    ]
