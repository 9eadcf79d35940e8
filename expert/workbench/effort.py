"""What it takes to find a cause: following the tree, choosing by value, and the least there is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from expert.case.car import GATES
from expert.case.consult import Consultant, Consultation
from expert.case.events import Described
from expert.case.state import State, fold
from expert.case.steps import SAFETY, AskStep
from expert.case.walk import Path
from expert.model import Knowledge
from expert.reasoning.belief import marginals
from expert.reasoning.network import Network
from expert.reasoning.optimum import entropy_bits
from expert.workbench.cars import drawn, likely_causes
from expert.workbench.drive import Played, Reply, play

SPRING_KPA = 50.0


@dataclass(frozen=True, slots=True)
class Effort:
    """Means over invented cars: minutes and checks until the cause is named, or given up.

    ``found`` is the share of cars whose cause was named; a car given up costs a workshop visit.
    """

    minutes: float
    checks: float
    found: float


@dataclass(frozen=True, slots=True)
class Row:
    """One symptom on one setup and gate; ``bound_checks`` is the entropy bound on the checks.

    ``waste`` is, for each tree node that asked a check, the minutes a car that a better check
    would have saved there, by the plan's own estimate.
    """

    symptom: str
    setup: str
    gate: str | None
    tree: Effort
    value: Effort
    bound_checks: float
    waste: Mapping[Path, float]

    @property
    def ratio(self) -> float:
        """Minutes by the tree for each minute by value."""
        return self.tree.minutes / self.value.minutes


@dataclass(frozen=True, slots=True)
class Fleet:
    """How many invented cars to play through, and the seed they are drawn with."""

    cars: int
    seed: int


def _most_first(item: tuple[Path, float]) -> tuple[float, Path]:
    return -item[1], item[0]


def efforts(
    knowledge: Knowledge, symptoms: Sequence[str], setups: Sequence[str], fleet: Fleet
) -> Iterator[Row]:
    """Judge the tree of every symptom on every setup, by the same invented cars both ways."""
    by_tree = Consultant(knowledge)
    by_value = Consultant(knowledge, tree_leads=False)
    for symptom in symptoms:
        for setup, gate in _plumbed(knowledge, setups):
            state = _begun(setup, gate, symptom)
            network = by_tree.consult(state).network
            waste: defaultdict[Path, float] = defaultdict(float)
            followed = _played(by_tree, state, network, fleet, waste)
            chosen = _played(by_value, state, network, fleet)
            yield Row(
                symptom,
                setup,
                gate,
                tree=_mean(knowledge, followed),
                value=_mean(knowledge, chosen),
                bound_checks=_bound(network),
                waste={
                    path: lost / fleet.cars for path, lost in sorted(waste.items(), key=_most_first)
                },
            )


def _plumbed(knowledge: Knowledge, setups: Sequence[str]) -> Iterator[tuple[str, str | None]]:
    """The setups, each with every gate that it leaves open."""
    for setup in setups:
        left_open = knowledge.setups[setup].gates
        gates = [name for name, part in GATES.items() if part in left_open]
        yield from ((setup, gate) for gate in gates or (None,))


def _begun(setup: str, gate: str | None, symptom: str) -> State:
    events = [
        Described("setup", setup),
        Described("symptom", symptom),
        Described("spring_kpa", SPRING_KPA),
    ]
    return fold([*events, Described("gate", gate)] if gate else events)


def _played(
    consultant: Consultant,
    state: State,
    network: Network,
    fleet: Fleet,
    waste: defaultdict[Path, float] | None = None,
) -> list[Played]:
    shares = likely_causes(network)
    rng = np.random.default_rng(fleet.seed)
    chosen = rng.choice(list(shares), size=fleet.cars, p=list(shares.values()))
    played = []
    for k, cause in enumerate(chosen):
        reply = drawn(str(cause), np.random.default_rng([fleet.seed, k]))
        if waste is not None:
            reply = _noting(reply, waste)
        played.append(play(consultant, state, str(cause), reply))
    return played


def _noting(reply: Reply, waste: defaultdict[Path, float]) -> Reply:
    """The same replies; what the tree's checks cost beyond the best one is noted on the way."""

    def noting(consultation: Consultation, check: str) -> tuple[str, ...]:
        step = consultation.step
        if isinstance(step, AskStep) and step.path is not None and consultation.offers:
            lost = consultation.offers[0].value - step.offer.value
            if check in consultation.values and check not in SAFETY and lost > 0.0:
                waste[step.path] += lost
        return reply(consultation, check)

    return noting


def _mean(knowledge: Knowledge, played: list[Played]) -> Effort:
    way_out = knowledge.policy.workshop_minutes
    minutes = [one.minutes + (0.0 if one.found else way_out) for one in played]
    return Effort(
        minutes=float(np.mean(minutes)),
        checks=float(np.mean([len(one.asked) for one in played])),
        found=float(np.mean([one.found is not None for one in played])),
    )


def _bound(network: Network) -> float:
    most_answers = max(len(network.channel(check).answers) for check in network.checks)
    return entropy_bits(marginals(network.given_complaint)) / float(np.log2(most_answers))
