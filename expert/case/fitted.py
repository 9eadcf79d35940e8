"""A case told with older or other knowledge, made to fit the knowledge at hand."""

from __future__ import annotations

from dataclasses import replace

from expert.case.car import GATES, NO_BYPASS, gate_missing
from expert.case.pressures import PressureField, possible
from expert.case.state import State
from expert.model import Knowledge


def fitted(state: State, knowledge: Knowledge) -> State:
    """The state without the setup, gate, bypass and symptoms that this knowledge cannot place.

    Pressures that no car has go as well: a case may have been edited, and limits of test runs are
    worked out from them. What was dropped counts as not said, so that it is asked again; findings
    stay as they are, since those that mean nothing here are no evidence anyway.
    """
    lost: set[str] = set()
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
    spring_kpa = _fitting("spring_kpa", state.spring_kpa, lost)
    target_kpa = _fitting("target_kpa", state.target_kpa, lost)
    return replace(
        state,
        setup=setup,
        gate=gate,
        bypass=bypass,
        symptoms=symptoms,
        spring_kpa=spring_kpa,
        target_kpa=target_kpa,
        said=state.said - lost,
    )


def _fitting(field: PressureField, value_kpa: float | None, lost: set[str]) -> float | None:
    if value_kpa is None or possible(field, value_kpa):
        return value_kpa
    lost.add(field)
    return None


def consultable(state: State, knowledge: Knowledge) -> bool:
    """Is enough said of a fitted case to consult about it: setup, gate and complaint?"""
    if state.setup is None or not state.symptoms:
        return False
    return not gate_missing(knowledge, state.setup, state.gate)


def _gate_fits(knowledge: Knowledge, setup: str | None, gate: str | None) -> bool:
    if setup is None or gate not in GATES:
        return False
    layout = knowledge.setups[setup]
    return GATES[gate] in {*layout.parts, *layout.gates}
