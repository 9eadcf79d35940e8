"""A case told with older or other knowledge, made to fit the knowledge at hand."""

from __future__ import annotations

from dataclasses import replace

from expert.case.car import GATES, NO_BYPASS
from expert.case.state import State
from expert.model import Knowledge


def fitted(state: State, knowledge: Knowledge) -> State:
    """The state without the setup, gate, bypass and symptoms that this knowledge cannot place.

    What was dropped counts as not said, so that it is asked again; findings stay as they are,
    since those that mean nothing here are no evidence anyway.
    """
    lost = set()
    setup = state.setup if state.setup in knowledge.setups else None
    if setup is None:
        lost.add("setup")
    gate = state.gate if _gate_fits(knowledge, setup, state.gate) else None
    if gate is None:
        lost.add("gate")
    bypass = state.bypass
    if bypass is not None and bypass != NO_BYPASS and bypass not in knowledge.bypasses:
        bypass = None
        lost.add("bypass")
    symptoms = tuple(symptom for symptom in state.symptoms if symptom in knowledge.symptoms)
    if not symptoms:
        lost.add("symptom")
    said = state.said - lost
    return replace(
        state, setup=setup, gate=gate, bypass=bypass, symptoms=symptoms, said=frozenset(said)
    )


def _gate_fits(knowledge: Knowledge, setup: str | None, gate: str | None) -> bool:
    if setup is None or gate not in GATES:
        return False
    layout = knowledge.setups[setup]
    return GATES[gate] in {*layout.parts, *layout.gates}
