"""From the knowledge and a case to belief, drive verdict and next step.

This is the one door: whoever asks or shows anything about a case gets it here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from expert.case.car import parts_of
from expert.case.known import known
from expert.case.prospects import Prospects
from expert.case.state import State
from expert.case.steps import Step, next_step, tree_way
from expert.case.walk import Walk
from expert.errors import UsageError
from expert.model import Knowledge
from expert.reasoning.network import Channel, History, Network


class Consultation(Prospects):
    """What follows from one state of a case: the picture, the prospects and the next step."""

    def __init__(
        self, knowledge: Knowledge, state: State, network: Network, tree_leads: bool = True
    ) -> None:
        super().__init__(knowledge, state, network)
        self.tree_leads = tree_leads

    @cached_property
    def way(self) -> Walk:
        """The way through the complaint's tree, as far as it has come."""
        return tree_way(self, self.tree_leads)

    @cached_property
    def step(self) -> Step:
        """The next thing to do."""
        return next_step(self, self.tree_leads)


class Consultant:
    """Consults the knowledge; keeps the arrays of the cars that it has seen.

    With ``tree_leads`` false the order of the checks is that of their value alone, but for those
    that every case begins with.
    """

    def __init__(self, knowledge: Knowledge, tree_leads: bool = True) -> None:
        self.knowledge = knowledge
        self.tree_leads = tree_leads
        self._networks: dict[tuple[frozenset[str], str, History], Network] = {}
        self._channels: dict[frozenset[str], dict[str, Channel]] = {}

    def consult(self, state: State) -> Consultation:
        """What follows from a state with a setup and a complaint. Raises UsageError without."""
        if state.setup is None or not state.symptoms:
            raise UsageError(
                "A case needs a setup and a symptom before anything can be said. "
                "Name them with --setup and --symptom."
            )
        known("symptom", state.symptoms[0], self.knowledge.symptoms)
        parts = parts_of(self.knowledge, state.setup, state.gate, state.bypass)
        history = history_of(self.knowledge, state)
        key = (parts, state.symptoms[0], history)
        if key not in self._networks:
            channels = self._channels.setdefault(parts, {})
            self._networks[key] = Network(
                self.knowledge, parts, state.symptoms[0], history, channels
            )
        return Consultation(self.knowledge, state, self._networks[key], self.tree_leads)


def history_of(knowledge: Knowledge, state: State) -> History:
    """What a case tells of the car's past, and the areas of its repairs so far."""
    changed: Sequence[str] = state.answers("what-changed")
    reworked = [knowledge.causes[cause].work for cause in state.mended if cause in knowledge.causes]
    return History(
        changed[0] if changed else None,
        frozenset(state.answers("worked-on")),
        frozenset(area for areas in reworked for area in areas),
    )
