"""The same next step as everywhere, without what only a reader of the screen needs.

Most of the time of a step goes into what every open check is worth. Where the tree leads, all that
is asked of those numbers is whether its next check pays for itself, and a lower bound often tells.
"""

from __future__ import annotations

from functools import cached_property

from expert.case.consult import Consultant, Consultation
from expert.case.offer import Offer, Withheld, offer
from expert.case.picture import RankedCause
from expert.case.state import State
from expert.case.weighing import Weighing
from expert.model import Knowledge
from expert.reasoning.belief import Belief, posterior, predict, updated
from expert.reasoning.network import Network
from expert.reasoning.plan import Problem, one_step_values, problem_of, repairs_alone
from expert.reasoning.repairs import expected_cost

Findings = tuple[tuple[str, tuple[str, ...]], ...]


class Latest:
    """The latest belief of a car, with the findings that led to it, in their order."""

    def __init__(self) -> None:
        self._network: Network | None = None
        self._ruled_out: tuple[str, ...] = ()
        self._findings: Findings = ()
        self._belief: Belief | None = None

    def belief(self, network: Network, ruled_out: tuple[str, ...], found: Weighing) -> Belief:
        """The belief of a car before any repair; one finding more takes one update more."""
        items = found.items
        findings = tuple((item.check, item.answers) for item in items)
        known = len(self._findings)
        same_car = self._network is network and self._ruled_out == ruled_out
        if self._belief is not None and same_car and findings[:known] == self._findings:
            belief = self._belief
            for item in items[known:]:
                belief = updated(belief, item.evidence)
        else:
            belief = posterior(found.start, [item.evidence for item in items])
        self._network, self._ruled_out = network, ruled_out
        self._findings, self._belief = findings, belief
        return belief


class QuickConsultation(Consultation):
    """A consultation whose steps are the same, but for what only a reader wants to know.

    What a check is worth and the reasons for a cause are left out.
    """

    def __init__(
        self, knowledge: Knowledge, state: State, network: Network, tree_leads: bool, latest: Latest
    ) -> None:
        super().__init__(knowledge, state, network, tree_leads)
        self._latest = latest

    @cached_property
    def belief(self) -> Belief:
        """The exact posterior over all hypotheses of this car."""
        return self._latest.belief(self.network, self.state.ruled_out, self._weighing)

    def pays(self, check_id: str, share: float) -> bool:
        """Does the check save at least this share of its own minutes? By a bound if that tells."""
        (minutes,) = self._minutes([check_id], self.prepared)
        if self._least_value(check_id) + minutes >= share * minutes:
            return True
        return super().pays(check_id, share)

    def _least_value(self, check_id: str) -> float:
        """What the check is worth at the least: by itself, with no other check after it.

        A check that is looked at twice is judged over the likeliest causes alone, and one more
        check afterwards only makes it worth more. Any other has its value over all causes.
        """
        foreseen = predict(self.belief, [self.network.question(check_id)])
        costs = self._costs([check_id])
        least = _alone(problem_of(self.belief, foreseen, costs))
        withheld = self.knowledge.checks[check_id].loads_engine and not self.gate.allowed
        if check_id == self.walk.pending and not withheld:
            return least
        return min(least, float(one_step_values(self.belief, foreseen, costs)[0]))

    def offer(self, check_id: str) -> Offer | Withheld:
        """One check, offered or withheld."""
        return offer(
            self.knowledge,
            check_id,
            self.gate,
            prepared=self.prepared,
            spring_kpa=self.state.spring_kpa,
            value=0.0,
        )

    def ranked(self, cause_id: str) -> RankedCause:
        """One cause with its probability; the reasons are left out."""
        return RankedCause(cause_id, self.knowledge.causes[cause_id], self.chance(cause_id), why=())


def _alone(problem: Problem) -> float:
    """What the only check of a problem saves when repairs alone follow, in minutes."""
    (test,) = problem.tests
    after = expected_cost(
        test.likelihood * problem.share,
        test.unlisted * problem.unlisted,
        problem.repair_cost,
        problem.way_out,
    )
    return repairs_alone(problem) - float(after.sum()) - test.cost * problem.mass


class QuickConsultant(Consultant):
    """Consults the knowledge for the next step alone, of cases without repairs."""

    def __init__(self, knowledge: Knowledge, tree_leads: bool = True) -> None:
        super().__init__(knowledge, tree_leads)
        self._latest = Latest()

    def consult(self, state: State) -> QuickConsultation:
        """As a consultant does. Raises UsageError without a setup or a complaint."""
        network = super().consult(state).network
        return QuickConsultation(self.knowledge, state, network, self.tree_leads, self._latest)
