"""From the knowledge and a case to belief, drive verdict and next step.

This is the one door: whoever asks or shows anything about a case gets it here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from expert.case.car import parts_of
from expert.case.offer import Offer, Withheld, minutes_of, offer
from expert.case.safety import HOSES, RED_FLAGS, LoadGate, Verdict, load_gate, verdict
from expert.case.standing import current
from expert.case.state import Finding, State
from expert.case.walk import Walk, walk
from expert.case.weighing import SYMPTOM, Item, Weighing, weighing
from expert.errors import UsageError
from expert.model import Cause, Danger, Knowledge
from expert.reasoning import belief as believing
from expert.reasoning import plan, weigh
from expert.reasoning.belief import Belief, Prediction
from expert.reasoning.channels import Floats
from expert.reasoning.network import AS_DESIGNED, History, Network
from expert.reasoning.plan import Costs
from expert.reasoning.repairs import repair_order

# The run that shows whether a repair has helped.
RUN = "zero-duty-log"

# What a tree asks before anything may be concluded.
FIRST = frozenset({"red-flags", "what-changed"})

# Asked for safety's sake, whatever else it might be worth.
SAFETY = FIRST | {HOSES}

# A check of the tree that saves less than this share of its own minutes is passed over.
WORTHLESS = 0.1

# A fall in the chance of unlimited boost below this clears nothing.
NOTICEABLE = 0.002


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


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair in the order p/C; the cost is in minutes, parts included."""

    cause: str
    probability: float
    cost: float


@dataclass(frozen=True, slots=True)
class AskStep:
    """Ask this check next; ``by_tree`` when the symptom's tree leads, else its value does.

    ``clears`` is true for a check that is asked so that a run may be allowed after it.
    """

    offer: Offer
    by_tree: bool
    clears: bool = False


@dataclass(frozen=True, slots=True)
class ConcludeStep:
    """Name this cause as the likely one: confirm it, then mend it.

    ``explains`` is false for a fault that is there, but cannot be why the owner complains.
    """

    cause: RankedCause
    certain_enough: bool
    explains: bool


@dataclass(frozen=True, slots=True)
class WorkshopStep:
    """Nothing is left that is safe and worth its minutes; say what to hand over."""

    because: str


@dataclass(frozen=True, slots=True)
class VerifyStep:
    """A repair is done and the hoses are traced again: is the complaint gone?

    ``run`` is the run that shows it, or why it must not be made.
    """

    cause: str
    run: Offer | Withheld | None


Step = AskStep | ConcludeStep | VerifyStep | WorkshopStep


@dataclass(frozen=True, slots=True)
class _Plan:
    """What every open check is worth, and what to do first: a check's or a cause's id."""

    values: dict[str, float]
    kind: Literal["check", "repair", "way-out"]
    id: str


class Consultation:
    """What follows from one state of a case. Everything is worked out on demand, once."""

    def __init__(
        self, knowledge: Knowledge, state: State, network: Network, tree_leads: bool = True
    ) -> None:
        self.knowledge = knowledge
        self.state = state
        self.network = network
        self.tree_leads = tree_leads
        self.current = current(knowledge, state)

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
            if item.check != SYMPTOM:
                expected = self._expected(item.check, story)
                found.append(Doubt(item.check, item.answers, expected))
        return found

    def _expected(self, check: str, story: tuple[int, ...]) -> str:
        """The answer that the story makes likeliest."""
        channel = self.network.channel(check)
        chances = [
            believing.chance_under(story, self.network.finding(check, (answer,), "asked"))
            for answer in channel.answers
        ]
        return channel.answers[int(np.argmax(chances))]

    # What to do next.

    @cached_property
    def prepared(self) -> frozenset[str]:
        """Preparations that this case has paid for."""
        return frozenset(
            work
            for finding in self.state.findings
            if finding.origin == "asked" and finding.answers
            for work in self._preparations(finding.check)
        )

    def _preparations(self, check_id: str) -> tuple[str, ...]:
        check = self.knowledge.checks.get(check_id)
        return check.prepare if check else ()

    @cached_property
    def open_checks(self) -> tuple[str, ...]:
        """Checks that fit the car and have not been asked or set aside."""
        asked = {finding.check for finding in self.current.findings} | self.current.set_aside
        return tuple(check_id for check_id in self.network.checks if check_id not in asked)

    @cached_property
    def predictions(self) -> dict[str, Prediction]:
        """For every open check, what each answer would be worth knowing."""
        if self.network.stack is None:
            return {}
        foreseen = believing.predict(self.belief, self.network.stack)
        everything = dict(zip(self.network.checks, foreseen, strict=True))
        return {check_id: everything[check_id] for check_id in self.open_checks}

    @cached_property
    def repair_cost(self) -> Floats:
        """Minutes of each cause's repair, its parts weighed in."""
        policy = self.knowledge.policy
        causes = [self.knowledge.causes[cause] for cause in self.network.causes]
        return np.array([cause.minutes + policy.parts_minutes[cause.parts] for cause in causes])

    def _minutes(self, names: Sequence[str], done: frozenset[str]) -> Floats:
        """Minutes of each check once these preparations are done."""
        checks = [self.knowledge.checks[name] for name in names]
        return np.array([minutes_of(self.knowledge, check, done) for check in checks])

    def _costs(self, names: Sequence[str]) -> Costs:
        own = self._minutes(names, self.prepared)
        after = [
            self._minutes(names, self.prepared.union(self._preparations(first))) for first in names
        ]
        way_out = self.knowledge.policy.workshop_minutes
        return Costs(
            own, self.repair_cost, way_out, own - np.array(after).reshape(len(own), len(own))
        )

    @cached_property
    def _plan(self) -> _Plan:
        """The best next action, and what every open check is worth."""
        names = self.open_checks
        costs = Costs(
            self._minutes(names, self.prepared),
            self.repair_cost,
            self.knowledge.policy.workshop_minutes,
        )
        predictions = [self.predictions[name] for name in names]
        quick = plan.one_step_values(self.belief, predictions, costs)
        values = {name: float(value) for name, value in zip(names, quick, strict=True)}

        kept = self._kept_checks(values)
        problem = plan.problem_of(
            self.belief, [self.predictions[name] for name in kept], self._costs(kept)
        )
        causes = [self.network.causes[column] for column in plan.kept_causes(self.belief)]
        named = [k for k, cause in enumerate(causes) if self._may_be_named(cause)]
        found = plan.actions(problem, named)
        alone = plan.repairs_alone(problem)
        for action in found:
            if action.kind == "check":
                values[kept[action.index]] = alone - action.expected
        best = found[0]
        if best.kind == "check" and best.expected < alone:
            return _Plan(values, "check", kept[best.index])
        if best.kind == "repair":
            return _Plan(values, "repair", causes[best.index])
        return _Plan(values, "way-out", "")

    def _may_be_named(self, cause_id: str) -> bool:
        """Is a repair worth proposing? A cheap shot at an unlikely cause is not."""
        return self.chance(cause_id) >= self.knowledge.policy.notable and self.shown(cause_id)

    def _kept_checks(self, quick: dict[str, float]) -> list[str]:
        """The checks to look at twice: the tree's own, and the best that may be done now."""
        may = [
            name
            for name in sorted(quick, key=lambda name: (-quick[name], name))
            if self.gate.allowed or not self.knowledge.checks[name].loads_engine
        ]
        kept = may[: plan.CHECKS_KEPT]
        pending = self.walk.pending if self.walk else None
        if pending in may and pending not in kept:
            kept.append(pending)
        return kept

    @property
    def values(self) -> dict[str, float]:
        """Minutes that each open check is expected to save against repairs alone."""
        return self._plan.values

    def offer(self, check_id: str) -> Offer | Withheld:
        """One check, offered or withheld. Raises UsageError for one that this car cannot have."""
        check = self.knowledge.checks.get(check_id)
        if check is None or not check.fits(self.network.parts):
            raise UsageError(f"The check {check_id!r} does not fit this car.")
        return offer(
            self.knowledge,
            check_id,
            self.gate,
            prepared=self.prepared,
            spring_kpa=self.state.spring_kpa,
            value=self.values.get(check_id, 0.0),
        )

    @cached_property
    def offers(self) -> list[Offer]:
        """Open checks that may be done now, the most valuable first."""
        order = sorted(self.open_checks, key=lambda name: (-self.values[name], name))
        made = [self.offer(name) for name in order]
        return [item for item in made if isinstance(item, Offer)]

    def repairs(self, most: int) -> list[Repair]:
        """The repairs to try, in the order of probability over cost."""
        order = repair_order(self.probability, self.repair_cost)[:most]
        return [
            Repair(
                self.network.causes[column],
                float(self.probability[column]),
                float(self.repair_cost[column]),
            )
            for column in order
        ]

    @cached_property
    def walk(self) -> Walk | None:
        """The way through the complaint's tree."""
        symptom = self.knowledge.symptoms.get(self.state.symptoms[0])
        return walk(symptom, self.current, self.network.parts) if symptom else None

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

    @cached_property
    def step(self) -> Step:
        """The next thing to do: the tree leads, then value does, then a conclusion."""
        if self.state.verifying:
            return self._verify()
        pending = self._tree_check()
        top = self.order[0] if self.order else None
        if top and self.may_conclude(top) and pending not in FIRST:
            return self._conclude(top, certain_enough=True)
        if pending is not None:
            made = self.offer(pending)
            if isinstance(made, Offer):
                return AskStep(made, by_tree=True)
        if self._plan.kind == "check":
            made = self.offer(self._plan.id)
            if isinstance(made, Offer):
                return AskStep(made, by_tree=False)
        if self._plan.kind == "repair":
            return self._conclude(self._plan.id, certain_enough=False)
        return self._clearing() or self._way_out()

    def _tree_check(self) -> str | None:
        """The check that the tree asks now, if the tree leads.

        A check that would tell next to nothing is passed over as if it were sound, unless safety
        wants it. The tree knows more than its next check: one that only pays with those after it
        is asked.
        """
        symptom = self.knowledge.symptoms.get(self.state.symptoms[0])
        if symptom is None:
            return None
        state = self.current
        while True:
            pending = walk(symptom, state, self.network.parts).pending
            if pending is None or not self._fits(pending):
                return None
            if not self.tree_leads:
                return pending if pending in FIRST else None
            check = self.knowledge.checks[pending]
            if check.kind == "history" or pending in SAFETY or not self._worthless(pending):
                return pending
            passed = Finding(pending, (check.sound_answer(),), "asked", state.epoch)
            state = replace(state, findings=(*state.findings, passed))

    def _worthless(self, check_id: str) -> bool:
        minutes = minutes_of(self.knowledge, self.knowledge.checks[check_id], self.prepared)
        return self.values[check_id] + minutes < WORTHLESS * minutes

    def _clearing(self) -> AskStep | None:
        """Where a run would be worth its minutes but is not allowed: what may clear the way."""
        loaded = [name for name in self.open_checks if self.knowledge.checks[name].loads_engine]
        worth = any(self.values[name] > 0.0 for name in loaded)
        if self.gate.allowed or not worth or self.verdict.drive == "stop":
            return None
        for check_id in (HOSES, RED_FLAGS):
            if check_id in self.open_checks:
                made = self.offer(check_id)
                return (
                    AskStep(made, by_tree=False, clears=True) if isinstance(made, Offer) else None
                )
            if self.current.answers(check_id) != (self.knowledge.checks[check_id].sound_answer(),):
                return None
        best = max(self.offers, key=self._clears_per_minute, default=None)
        if best is None or self._clears_per_minute(best) <= 0.0:
            return None
        return AskStep(best, by_tree=False, clears=True)

    def _clears_per_minute(self, offered: Offer) -> float:
        """How far a sound answer would lower the chance of unlimited boost, a minute of work."""
        prediction = self.predictions[offered.id]
        sound = list(offered.check.answers).index(offered.check.sound_answer())
        unlimited = [
            column
            for column, cause in enumerate(self.network.causes)
            if self.knowledge.causes[cause].harm == "overpressure"
        ]
        now = float(self.probability[unlimited].sum())
        then = float(prediction.joint[sound, unlimited].sum() / prediction.answer[sound])
        lowered = now - then
        return lowered / offered.minutes if lowered > NOTICEABLE else 0.0

    def _verify(self) -> Step:
        """After a repair: the hoses and the red flags again, then a run if the gate allows it."""
        for check_id in (HOSES, RED_FLAGS):
            if check_id in self.open_checks:
                made = self.offer(check_id)
                if isinstance(made, Offer):
                    return AskStep(made, by_tree=False)
        run = self.offer(RUN) if RUN in self.open_checks else None
        return VerifyStep(self.state.mended[-1], run)

    def _conclude(self, cause_id: str, certain_enough: bool) -> ConcludeStep:
        shows = self.knowledge.symptoms[self.state.symptoms[0]].causes.get(cause_id, 0.0)
        leak = self.knowledge.policy.symptom_leak
        return ConcludeStep(self.ranked(cause_id), certain_enough, explains=shows > leak)

    def _fits(self, check_id: str) -> bool:
        check = self.knowledge.checks.get(check_id)
        return check is not None and check.fits(self.network.parts)

    def _way_out(self) -> Step:
        """No check is worth its minutes: name the best suspect, or hand the car over."""
        for cause in self.order:
            chance = self.chance(cause)
            if chance < max(self.knowledge.policy.notable, self.belief.unlisted):
                break
            if self.shown(cause):
                return self._conclude(cause, certain_enough=False)
        if self.belief.unlisted >= self.knowledge.policy.notable:
            return WorkshopStep("the answers fit no cause that Gatepost knows well")
        return WorkshopStep("no check is left here that is safe and worth its minutes")


class Consultant:
    """Consults the knowledge; keeps the arrays of the cars that it has seen.

    With ``tree_leads`` false the order of the checks is that of their value alone, but for those
    that every case begins with.
    """

    def __init__(self, knowledge: Knowledge, tree_leads: bool = True) -> None:
        self.knowledge = knowledge
        self.tree_leads = tree_leads
        self._networks: dict[tuple[frozenset[str], str, History], Network] = {}

    def consult(self, state: State) -> Consultation:
        """What follows from a state with a setup and a complaint. Raises UsageError without."""
        if state.setup is None or not state.symptoms:
            raise UsageError("A case needs a setup and a symptom before anything can be said.")
        parts = parts_of(self.knowledge, state.setup, state.gate, state.bypass)
        history = _history(self.knowledge, state)
        key = (parts, state.symptoms[0], history)
        if key not in self._networks:
            self._networks[key] = Network(self.knowledge, parts, state.symptoms[0], history)
        return Consultation(self.knowledge, state, self._networks[key], self.tree_leads)


def _history(knowledge: Knowledge, state: State) -> History:
    changed: Sequence[str] = state.answers("what-changed")
    reworked = [knowledge.causes[cause].work for cause in state.mended if cause in knowledge.causes]
    return History(
        changed[0] if changed else None,
        frozenset(state.answers("worked-on")),
        frozenset(area for areas in reworked for area in areas),
    )
