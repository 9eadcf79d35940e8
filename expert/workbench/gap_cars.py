"""The cars that the knowledge is for, and what each can tell by its checks, as arrays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from expert.case.car import GATES, NO_BYPASS, parts_of
from expert.model import Ask, Fork, Go, Knowledge, Suspect, Symptom, Tree
from expert.reasoning.channels import Floats
from expert.reasoning.network import Channel, History, Network
from expert.workbench.strength import telling, with_slip


@dataclass(frozen=True)
class Car:
    """One way to plumb a car; ``name`` is its setup and gate, whatever the bypass."""

    name: str
    network: Network

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """Its checks, cheapest first."""
        minutes = self.network.knowledge.checks
        return tuple(sorted(self.network.checks, key=lambda check: minutes[check].minutes))

    @cached_property
    def answers(self) -> list[Floats]:
        """For every check, how each cause alone answers: (answers, causes), slip included."""
        slip = self.network.knowledge.policy.slip.asked
        found = []
        for check in self.checks:
            terms = self.network.channel(check).terms
            found.append(with_slip(np.stack([term.of_single() for term in terms]), slip))
        return found

    @cached_property
    def strength(self) -> Floats:
        """Decibans by which each check tells each pair apart: (checks, causes, causes)."""
        return np.stack([telling(shares) for shares in self.answers])

    @cached_property
    def shows(self) -> Floats:
        """How often each cause shows each symptom: (symptoms, causes)."""
        symptoms = self.network.knowledge.symptoms.values()
        rows = [[one.causes.get(cause, 0.0) for cause in self.network.causes] for one in symptoms]
        return np.array(rows).reshape(len(symptoms), len(self.network.causes))


def cars(knowledge: Knowledge, setups: list[str]) -> Iterator[Car]:
    """Every way to plumb a car with one of the setups."""
    for setup in setups:
        left_open = knowledge.setups[setup].gates
        gates = [name for name, part in GATES.items() if part in left_open]
        for gate in gates or [None]:
            for bypass in [NO_BYPASS, *knowledge.bypasses]:
                parts = parts_of(knowledge, setup, gate, bypass)
                channels: dict[str, Channel] = {}
                network = Network(
                    knowledge, parts, None, History(None, frozenset(), frozenset()), channels
                )
                yield Car(" ".join(filter(None, (setup, gate))), network)


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
            case Fork(has):
                branch = next((part for part in has if part in parts), "otherwise")
                todo += [has[branch]] if branch in has else []
            case Go(name):
                if name not in seen:
                    seen.add(name)
                    todo.append(symptom.subtrees[name])
            case Suspect():
                pass
    return found
