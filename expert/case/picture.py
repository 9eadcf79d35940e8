"""What is believed of a car: causes ranked with reasons, the drive verdict, what is in doubt."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from expert.case.safety import LoadGate, Verdict, load_gate, verdict
from expert.case.standing import current
from expert.case.state import State
from expert.case.weighing import SYMPTOM, Item, Weighing, weighing
from expert.model import Cause, Danger, Knowledge, Symptom
from expert.reasoning import belief as believing
from expert.reasoning import weigh
from expert.reasoning.belief import Belief
from expert.reasoning.channels import Floats
from expert.reasoning.network import AS_DESIGNED, Network


@dataclass(frozen=True, slots=True)
class Weighed:
    """A finding and its leave-one-out weight for a cause.

    ``check`` is "symptom" where the finding is a complaint.
    """

    check: str
    answers: tuple[str, ...]
    decibans: float


@dataclass(frozen=True, slots=True)
class RankedCause:
    """A cause with its probability, alone or beside another."""

    id: str
    cause: Cause
    probability: float
    why: tuple[Weighed, ...]

    @property
    def danger(self) -> Danger:
        """May the car be driven with it?"""
        return self.cause.danger


@dataclass(frozen=True, slots=True)
class Doubt:
    """A finding that does not fit the best story, and the answer that would."""

    check: str
    answers: tuple[str, ...]
    expected: str


class Picture:
    """What one state of a case says of the car. Everything is worked out on demand, once."""

    def __init__(self, knowledge: Knowledge, state: State, network: Network) -> None:
        self.knowledge = knowledge
        self.state = state
        self.network = network
        self.current = current(knowledge, state)

    @property
    def complaint(self) -> Symptom:
        """The symptom that brought the car in."""
        return self.knowledge.symptoms[self.state.symptoms[0]]

    @cached_property
    def _weighing(self) -> Weighing:
        return weighing(self.knowledge, self.state, self.network)

    @property
    def evidence(self) -> tuple[Item, ...]:
        """Every finding that counts, complaints first."""
        return self._weighing.items

    @cached_property
    def belief(self) -> Belief:
        """The exact posterior over all hypotheses of this car.

        While a repair is under test: over what else may be there, and `unlisted` stands for
        nothing more.
        """
        found = self._weighing
        return believing.posterior(found.start, [item.evidence for item in found.items])

    @cached_property
    def probability(self) -> Floats:
        """P(cause) for every cause of the network."""
        return believing.marginals(self.belief)

    @cached_property
    def order(self) -> list[str]:
        """The causes of the car, likeliest first."""
        ranked = np.argsort(-self.probability, kind="stable")
        return [self.network.causes[int(column)] for column in ranked]

    @cached_property
    def _weights(self) -> Floats:
        found = self._weighing
        return weigh.weights(found.start, [item.evidence for item in found.items])

    def ranked(self, cause_id: str) -> RankedCause:
        """One cause with its probability and reasons, the heaviest reason first."""
        column = self.network.column[cause_id]
        reasons = [
            Weighed(item.check, item.answers, float(self._weights[row, column]))
            for row, item in enumerate(self.evidence)
        ]
        reasons.sort(key=lambda reason: -abs(reason.decibans))
        return RankedCause(
            cause_id,
            self.knowledge.causes[cause_id],
            float(self.probability[column]),
            tuple(reasons),
        )

    def chance(self, cause_id: str) -> float:
        """P(cause); nothing for a cause that this car cannot have."""
        column = self.network.column.get(cause_id)
        return 0.0 if column is None else float(self.probability[column])

    def pairs(self, most: int) -> list[tuple[tuple[str, str], float]]:
        """The likeliest pairs of causes."""
        upper = np.triu(self.belief.pair, k=1)
        best = np.argsort(-upper, axis=None, kind="stable")[:most]
        found = []
        for flat in best:
            first, second = divmod(int(flat), len(self.network.causes))
            chance = float(upper[first, second])
            if chance > 0.0:
                names = (self.network.causes[first], self.network.causes[second])
                found.append((names, chance))
        return found

    @cached_property
    def verdict(self) -> Verdict:
        """May the car be driven?"""
        return verdict(self.knowledge, self.state, self.network.causes, self.belief)

    @cached_property
    def gate(self) -> LoadGate:
        """May a check load the engine?"""
        return load_gate(self.knowledge, self.state, self.network.causes, self.belief)

    @cached_property
    def doubtful(self) -> list[Doubt]:
        """Findings that the best story does not explain."""
        items = [item.evidence for item in self.evidence]
        policy = self.knowledge.policy
        rows = weigh.doubtful(self.belief, items, policy.doubtful, policy.notable)
        story = believing.best_story(self.belief)
        found = []
        for row in rows:
            item = self.evidence[row]
            if item.check == SYMPTOM:
                continue
            expected, chance = self._expected(item.check, story)
            # A check with many flags may give even the likeliest of its answers a small chance.
            if believing.chance_under(story, item.evidence) < policy.doubtful * chance:
                found.append(Doubt(item.check, item.answers, expected))
        return found

    def _expected(self, check: str, story: tuple[int, ...]) -> tuple[str, float]:
        """The answer that the story makes likeliest, and its chance."""
        answers = self.network.channel(check).answers
        chances = [
            believing.chance_under(story, self.network.finding(check, (answer,), "asked"))
            for answer in answers
        ]
        best = int(np.argmax(chances))
        return answers[best], chances[best]

    def may_conclude(self, cause_id: str) -> bool:
        """Is the cause likely enough, and is it shown where it must be shown?"""
        if self.chance(cause_id) < self.knowledge.policy.conclude:
            return False
        return self.shown(cause_id)

    def shown(self, cause_id: str) -> bool:
        """Has an as-designed cause the positive evidence that it needs? Others need none."""
        if not cause_id.startswith(AS_DESIGNED):
            return True
        shown_by = self.knowledge.causes[cause_id].shown_by
        return any(
            answer in answers
            for check, answers in shown_by.items()
            for answer in self.current.answers(check)
        )
