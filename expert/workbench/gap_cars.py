"""The cars that the knowledge is for, and how their causes answer, as arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from expert.case.car import GATES, NO_BYPASS, parts_of
from expert.case.walk import fork_branch
from expert.model import Ask, Check, Fork, Go, Knowledge, Suspect, Symptom, Tree
from expert.reasoning.channels import Floats
from expert.reasoning.network import applicable, channel
from expert.workbench.strength import with_slip


class Heard(NamedTuple):
    """How a check is answered, slips included: (answers, causes) by single causes, and (answers,).

    The second is how sound cars answer.
    """

    shares: Floats
    sound: Floats


class Answers:
    """How every check is answered by cars with one cause alone; the same on every car."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.causes = tuple(knowledge.causes)
        self.column = {cause: k for k, cause in enumerate(self.causes)}
        self.checks = {name: one for name, one in knowledge.checks.items() if one.kind != "history"}
        self.heard = {name: self._heard(check) for name, check in self.checks.items()}
        rows = [
            [one.causes.get(cause, 0.0) for cause in self.causes]
            for one in knowledge.symptoms.values()
        ]
        self.shows = np.array(rows).reshape(len(rows), len(self.causes))

    def _heard(self, check: Check) -> Heard:
        slip = self.knowledge.policy.slip.asked
        built = channel(check, self.causes)
        shares = np.stack([term.of_single() for term in built.terms])
        return Heard(with_slip(shares, slip), with_slip(built.sound[:, None], slip)[:, 0])


@dataclass(frozen=True)
class Car:
    """One way to plumb a car."""

    setup: str
    gate: str | None
    bypass: str
    parts: frozenset[str]
    table: Answers

    @cached_property
    def causes(self) -> tuple[str, ...]:
        """The causes that it can have."""
        return applicable(self.table.knowledge, self.parts)

    @cached_property
    def columns(self) -> list[int]:
        """Where its causes stand in the table."""
        return [self.table.column[cause] for cause in self.causes]

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """Its checks; those of its history are left out, since they are no evidence."""
        return tuple(name for name, one in self.table.checks.items() if one.fits(self.parts))

    @cached_property
    def answers(self) -> list[Floats]:
        """For every check, how each of its causes alone answers: (answers, causes)."""
        return [self.table.heard[check].shares[:, self.columns] for check in self.checks]

    @cached_property
    def shows(self) -> Floats:
        """How often each of its causes shows each symptom: (symptoms, causes)."""
        found: Floats = self.table.shows[:, self.columns]
        return found


def layouts(knowledge: Knowledge, setups: Sequence[str]) -> Iterator[tuple[str, str | None]]:
    """Each of the setups with every gate that it leaves open, or None."""
    for setup in setups:
        left_open = knowledge.setups[setup].gates
        gates = [name for name, part in GATES.items() if part in left_open]
        yield from ((setup, gate) for gate in gates or (None,))


def cars(knowledge: Knowledge, setups: Sequence[str]) -> Iterator[Car]:
    """Every way to plumb a car with one of the setups."""
    table = Answers(knowledge)
    for setup, gate in layouts(knowledge, setups):
        for bypass in (NO_BYPASS, *knowledge.bypasses):
            parts = parts_of(knowledge, setup, gate, bypass)
            yield Car(setup, gate, bypass, parts, table)


def reached(symptom: Symptom, parts: frozenset[str]) -> set[str]:
    """The checks that the tree of a symptom can ask on a car with these parts."""
    found: set[str] = set()
    seen: set[str] = set()
    todo: list[Tree] = [symptom.tree]
    while todo:
        match todo.pop():
            case Ask(check, then):
                found.add(check)
                todo += then.values()
            case Fork(has) as fork:
                branch = fork_branch(fork, parts)
                todo += [] if branch is None else [has[branch]]
            case Go(name):
                if name not in seen:
                    seen.add(name)
                    todo.append(symptom.subtrees[name])
            case Suspect():
                pass
    return found
