"""What every open check and every repair is worth, on the picture of a car."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from expert.case.offer import Offer, Withheld, minutes_of, offer
from expert.case.picture import Picture
from expert.case.walk import Walk, walk
from expert.errors import UsageError
from expert.reasoning import belief as believing
from expert.reasoning import plan as planning
from expert.reasoning.belief import Prediction
from expert.reasoning.channels import Floats
from expert.reasoning.plan import Costs
from expert.reasoning.repairs import repair_order


@dataclass(frozen=True, slots=True)
class Repair:
    """A repair in the order p/C; the cost is in minutes, parts included."""

    cause: str
    probability: float
    cost: float


@dataclass(frozen=True, slots=True)
class Plan:
    """What every open check is worth, and what to do first: a check's or a cause's id."""

    values: dict[str, float]
    kind: Literal["check", "repair", "way-out"]
    id: str


class Prospects(Picture):
    """A picture with what could be done next: the open checks, their worth, and the repairs."""

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
        """What each of these checks costs by itself, and the repairs and the way out."""
        own = self._minutes(names, self.prepared)
        return Costs(own, self.repair_cost, self.knowledge.policy.workshop_minutes)

    def _shared_costs(self, names: Sequence[str]) -> Costs:
        """The same, with what each check saves the others by the preparations that they share."""
        costs = self._costs(names)
        after = [
            self._minutes(names, self.prepared.union(self._preparations(first))) for first in names
        ]
        saved = costs.check - np.array(after).reshape(len(names), len(names))
        return replace(costs, saved=saved)

    @cached_property
    def plan(self) -> Plan:
        """The best next action, and what every open check is worth."""
        names = self.open_checks
        predictions = [self.predictions[name] for name in names]
        quick = planning.one_step_values(self.belief, predictions, self._costs(names))
        values = {name: float(value) for name, value in zip(names, quick, strict=True)}

        kept = self._kept_checks(values)
        problem = planning.problem_of(
            self.belief, [self.predictions[name] for name in kept], self._shared_costs(kept)
        )
        causes = [self.network.causes[column] for column in planning.kept_causes(self.belief)]
        named = [k for k, cause in enumerate(causes) if self._may_be_named(cause)]
        found = planning.actions(problem, named)
        alone = planning.repairs_alone(problem)
        for action in found:
            if action.kind == "check":
                values[kept[action.index]] = alone - action.expected
        best = found[0]
        if best.kind == "check" and best.expected < alone:
            return Plan(values, "check", kept[best.index])
        if best.kind == "repair":
            return Plan(values, "repair", causes[best.index])
        return Plan(values, "way-out", "")

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
        kept = may[: planning.CHECKS_KEPT]
        pending = self.walk.pending
        if pending in may and pending not in kept:
            kept.append(pending)
        return kept

    @property
    def values(self) -> dict[str, float]:
        """Minutes that each open check is expected to save against repairs alone."""
        return self.plan.values

    def pays(self, check_id: str, share: float) -> bool:
        """Does the check save at least this share of its own minutes, before they are taken off?"""
        check = self.knowledge.checks[check_id]
        minutes = minutes_of(self.knowledge, check, self.prepared)
        return self.values[check_id] + minutes >= share * minutes

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
    def walk(self) -> Walk:
        """The way through the complaint's tree."""
        return walk(self.complaint, self.current, self.network.parts)
