"""What to ask next by mail, worked out for a whole mailbox in a short time.

The order is that of every case: danger and history first, then the check that the complaint's tree
asks, then by value. But value looks one check ahead here, not two, and only at what a customer can
do at home and answer in a line. How often that chooses as the full plan does, and what it loses
where it does not, are figures of ``tests/benchmarks/mail.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

import numpy as np

from expert.case.consult import Consultant, Consultation
from expert.case.offer import Offer, Withheld, minutes_of, offer
from expert.case.safety import HOSES, RED_FLAGS
from expert.case.state import State
from expert.case.steps import FIRST, tree_way
from expert.model import Knowledge
from expert.reasoning.belief import Question
from expert.reasoning.channels import Floats
from expert.reasoning.network import Network
from expert.reasoning.plan import kept_causes
from expert.reasoning.repairs import expected_cost

# What somebody who fits parts at home has (common practice, no source), so that a check can be done
# and answered by mail.
HOUSEHOLD: Final = frozenset(
    {"torch", "photo", "helper", "hose-ends", "spring-chart", "lamp", "spanners"}
)
LONGEST_MINUTES: Final = 15.0
# The caution of every check for which the engine is started.
_ENGINE_RUNS: Final = "running-engine"
_MOST_CARS: Final = 512
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True)
class HomeChecks:
    """The checks of a car that can be done at home, as arrays.

    ``likelihood`` (answers of all checks, causes) is P(answer | this cause alone), ``unlisted``
    (answers,) P(answer | none of them), both with the slip; ``starts`` is where each check begins.
    ``minutes`` (checks,) are those of a case that has prepared nothing.
    """

    names: tuple[str, ...]
    starts: list[int]
    likelihood: Floats
    unlisted: Floats
    minutes: Floats


def home_checks(network: Network) -> HomeChecks:
    """The checks at home of a car."""
    knowledge = network.knowledge
    names = tuple(
        name
        for name in network.checks
        if not knowledge.checks[name].loads_engine
        and (HOUSEHOLD.issuperset(knowledge.checks[name].tools) or name == HOSES)
    )
    questions = [network.question(name) for name in names]
    rows = [_likelihood(question) for question in questions]
    unlisted = [_unlisted(one, len(own)) for one, own in zip(questions, rows, strict=True)]
    return HomeChecks(
        names,
        np.cumsum([0, *(len(own) for own in rows)])[:-1].tolist(),
        np.concatenate([np.zeros((0, len(network.causes))), *rows]),
        np.concatenate([np.zeros(0), *unlisted]),
        np.array([minutes_of(knowledge, knowledge.checks[name], ()) for name in names]),
    )


def same_parts(network: Network, alike: HomeChecks) -> HomeChecks:
    """The checks at home of a car, by those of a car with the same parts and another complaint.

    All is the same, but for what `unlisted` would show in a reading of boost.
    """
    unlisted = alike.unlisted.copy()
    ends = [*alike.starts[1:], len(unlisted)]
    for name, start, end in zip(alike.names, alike.starts, ends, strict=True):
        if network.knowledge.checks[name].records_boost:
            unlisted[start:end] = _unlisted(network.question(name), end - start)
    return replace(alike, unlisted=unlisted)


def _likelihood(question: Question) -> Floats:
    """P(answer | cause), slips included; what several flags at once take is one row more."""
    own = np.stack([terms.of_single() for terms in question.answers])
    rest = 1.0 - own.sum(axis=0)
    if rest.max() > _ROUNDING:
        own = np.concatenate([own, rest[None]])
    mixed: Floats = (1.0 - question.slip) * own + question.slip / len(question.answers)
    return mixed


def _unlisted(question: Question, rows: int) -> Floats:
    """P(answer | unlisted) with so many rows."""
    without = question.unlisted
    if rows > len(without):
        without = np.concatenate([without, [max(0.0, 1.0 - without.sum())]])
    mixed: Floats = (1.0 - question.slip) * without + question.slip / len(question.answers)
    return mixed


class Homes:
    """The checks at home of every car met, of which there are few with the same parts."""

    def __init__(self) -> None:
        self._of_car: dict[Network, HomeChecks] = {}
        self._of_parts: dict[frozenset[str], HomeChecks] = {}

    def of(self, network: Network) -> HomeChecks:
        """Those of one car."""
        if network not in self._of_car:
            alike = self._of_parts.get(network.parts)
            if alike is None:
                alike = self._of_parts[network.parts] = home_checks(network)
            self._of_car[network] = same_parts(network, alike)
        return self._of_car[network]

    def forget(self, network: Network) -> None:
        """Leave a car out; what cars with the same parts share stays."""
        self._of_car.pop(network, None)


class MailConsultation(Consultation):
    """A consultation that also knows what to ask by mail. All other answers are the same."""

    def __init__(
        self,
        knowledge: Knowledge,
        state: State,
        network: Network,
        homes: Homes,
    ) -> None:
        super().__init__(knowledge, state, network)
        self._homes = homes

    @cached_property
    def to_ask(self) -> tuple[str, ...]:
        """The checks to ask by mail: danger first, then the tree's, then by what they tell."""
        led = self._led()
        telling = [name for name, value in self._worth.items() if value > 0.0]
        telling = [name for name in telling if self.at_home(name)]
        telling.sort(key=lambda name: (-self._worth[name], name))
        first = [RED_FLAGS] if RED_FLAGS in self.open_checks else []
        return tuple(dict.fromkeys([*first, *([led] if led else []), *telling]))

    @cached_property
    def _worth(self) -> dict[str, float]:
        """Minutes that each open check at home saves, looking one check ahead.

        As in the plan, one fault is taken to be behind the complaint, and only the likeliest are
        told apart.
        """
        home, belief = self._homes.of(self.network), self.belief
        total = float(self.probability.sum())
        if not home.names or total <= 0.0:
            return {}
        share = self.probability * ((1.0 - belief.unlisted) / total)
        kept = np.array(kept_causes(belief))
        few = share.copy()
        few[kept] = 0.0
        others = home.unlisted * belief.unlisted + home.likelihood @ few
        told = home.likelihood[:, kept] * share[kept]
        repair, way_out = self.repair_cost[kept], self.knowledge.policy.workshop_minutes
        after = np.add.reduceat(expected_cost(told, others, repair, way_out), home.starts)
        rest = np.array([belief.unlisted + few.sum()])
        now = expected_cost(share[None, kept], rest, repair, way_out)
        minutes = self._minutes(home.names, self.prepared) if self.prepared else home.minutes
        values = (now - after - minutes).tolist()
        is_open = frozenset(self.open_checks)
        return {
            name: value for name, value in zip(home.names, values, strict=True) if name in is_open
        }

    def _led(self) -> str | None:
        """The check that the tree asks now, if a customer can do it."""
        pending = tree_way(self, self.tree_leads).pending
        if pending is None or pending in FIRST:
            return pending
        top = self.order[0] if self.order else None
        if top is not None and self.may_conclude(top):
            return None
        return pending if self.at_home(pending) else None

    def pays(self, check_id: str, share: float) -> bool:
        """As everywhere. What pays already when looking one check ahead need not be planned."""
        return self._worth.get(check_id, 0.0) > 0.0 or super().pays(check_id, share)

    def at_home(self, check_id: str) -> bool:
        """Can a customer do it with what is at hand, and answer in a line?"""
        if check_id == HOSES:
            return True
        check = self.knowledge.checks[check_id]
        # Nobody is asked to start a car that must stand still.
        if _ENGINE_RUNS in check.cautions and self.verdict.drive == "stop":
            return False
        return (
            not check.loads_engine
            and self.prepared.issuperset(check.prepare)
            and minutes_of(self.knowledge, check, self.prepared) <= LONGEST_MINUTES
            and HOUSEHOLD.issuperset(check.tools)
        )

    def offered(self, check_id: str) -> Offer | Withheld:
        """One check, offered or withheld."""
        return offer(
            self.knowledge,
            check_id,
            self.gate,
            prepared=self.prepared,
            spring_kpa=self.state.spring_kpa,
            value=self._worth.get(check_id, 0.0),
        )


class MailConsultant(Consultant):
    """Consults for a mailbox: keeps the arrays of so many cars only, since mail never ends."""

    def __init__(self, knowledge: Knowledge) -> None:
        super().__init__(knowledge)
        self._homes = Homes()

    def consult(self, state: State) -> MailConsultation:
        """As a consultant does. Raises UsageError without a setup or a complaint."""
        network = super().consult(state).network
        while len(self._networks) > _MOST_CARS:
            # The one that was made longest ago.
            self._homes.forget(self._networks.pop(next(iter(self._networks))))
        return MailConsultation(self.knowledge, state, network, self._homes)
