"""A case is asked again what newer knowledge cannot place."""

from __future__ import annotations

from dataclasses import replace

from expert.case.consult import Consultant
from expert.case.events import Described, Event
from expert.case.fitted import consultable, fitted
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


def test_a_case_can_be_consulted_once_setup_gate_and_complaint_are_told() -> None:
    lazy, either = Described("symptom", "lazy"), Described("setup", "either")
    assert consultable(fold(SAID), KNOWLEDGE)
    assert not consultable(fold(SAID[:2]), KNOWLEDGE)
    assert not consultable(fold([lazy]), KNOWLEDGE)
    assert not consultable(fold([either, lazy]), KNOWLEDGE)
    assert consultable(fold([either, Described("gate", "internal"), lazy]), KNOWLEDGE)


def test_a_pressure_that_no_car_has_counts_as_not_said() -> None:
    # As in a case that was edited by hand: readings are divided by the spring.
    state = fold([*SAID, Described("spring_kpa", 0.0), Described("target_kpa", 90.0)])
    found = fitted(state, KNOWLEDGE)
    assert (found.spring_kpa, found.target_kpa) == (None, 90.0)
    assert "spring_kpa" not in found.said
    assert "target_kpa" in found.said
