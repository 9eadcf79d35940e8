"""A case is asked again what newer knowledge cannot place."""

from __future__ import annotations

from dataclasses import replace

from expert.case.consult import Consultant
from expert.case.events import Described, Event
from expert.case.fitted import fitted
from expert.case.state import State, fold
from tests import small

KNOWLEDGE = small.knowledge()
SAID: list[Event] = [
    Described("setup", "outer"),
    Described("bypass", "soft"),
    Described("symptom", "lazy"),
    Described("symptom", "overboost"),
]


def test_a_case_that_fits_is_left_alone() -> None:
    state = fold(SAID)
    assert fitted(state, KNOWLEDGE) == state


def test_a_bypass_that_is_none_or_not_known_fits() -> None:
    for value in ("none", None):
        state = fold([Described("setup", "outer"), Described("bypass", value)])
        assert fitted(state, KNOWLEDGE).bypass == value
        assert "bypass" in fitted(state, KNOWLEDGE).said


def test_what_the_knowledge_lost_counts_as_not_said() -> None:
    less = replace(
        KNOWLEDGE,
        setups={"inner": KNOWLEDGE.setups["inner"]},
        bypasses={},
        symptoms={"overboost": KNOWLEDGE.symptoms["overboost"]},
    )
    state = fitted(fold(SAID), less)
    assert state.setup is None
    assert state.bypass is None
    assert state.symptoms == ("overboost",)
    assert state.said == {"symptom"}


def test_a_gate_only_where_the_setup_leaves_a_choice_or_has_it() -> None:
    for setup, gate, kept in [
        ("either", "internal", "internal"),
        ("either", "external", "external"),
        ("outer", "external", "external"),
        ("outer", "internal", None),
        ("either", "sideways", None),
    ]:
        state = fitted(fold([Described("setup", setup), Described("gate", gate)]), KNOWLEDGE)
        assert state.gate == kept


def test_the_consultant_takes_whatever_fits() -> None:
    state = fold([*SAID, Described("symptom", "gone"), Described("gate", "internal")])
    consultation = Consultant(KNOWLEDGE).consult(fitted(state, KNOWLEDGE))
    assert consultation.step is not None


def test_an_empty_case_stays_empty() -> None:
    assert fitted(State(), KNOWLEDGE) == State()
