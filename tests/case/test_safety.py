"""When a car must stand still, and when its engine may be loaded."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.safety import load_gate, verdict
from expert.case.state import Finding, State
from expert.reasoning.belief import Belief, normalised
from tests.small import knowledge

CAUSES = ("ring-missing", "charge-leak", "hose-off", "wheel-broken")
CLEAN = (Finding("hose-trace", ("matches",), "asked"), Finding("red-flags", ("none",), "asked"))


def belief(*single: float, unlisted: float = 0.0) -> Belief:
    return normalised(np.array(single), np.zeros((4, 4)), unlisted)


HARMLESS = belief(0.1, 0.85, 0.02, 0.01, unlisted=0.02)


def test_nothing_known_against_it_may_be_driven() -> None:
    assert verdict(knowledge(), State(symptoms=("lazy",)), CAUSES, HARMLESS).drive == "ok"


def test_a_dangerous_complaint_stops_the_car_whatever_the_probabilities() -> None:
    found = verdict(knowledge(), State(symptoms=("lazy", "overboost")), CAUSES, HARMLESS)
    assert found.drive == "stop"
    assert found.because[0] == "The complaint itself is dangerous: Overboosts."


def test_a_dangerous_answer_stops_the_car_whatever_the_probabilities() -> None:
    state = State(findings=(Finding("red-flags", ("knock", "metal-noise"), "mail"),))
    found = verdict(knowledge(), state, CAUSES, HARMLESS)
    assert found.drive == "stop"
    assert len(found.because) == 2


@pytest.mark.parametrize(("chance", "drive"), [(0.49, "caution"), (0.51, "stop")])
def test_the_chance_of_a_stop_cause_counts_from_the_policy(chance: float, drive: str) -> None:
    found = verdict(knowledge(), State(), CAUSES, belief(0, 1 - chance, chance / 2, chance / 2))
    assert found.drive == drive


def test_a_notable_caution_cause_is_named() -> None:
    found = verdict(knowledge(), State(), CAUSES, belief(0.3, 0.7, 0, 0))
    assert found.drive == "caution"
    assert found.because == ("Possible, 30 %: Ring left out.",)


def test_some_answers_keep_everybody_s_hands_off_the_car() -> None:
    book = knowledge()
    flags = replace(book.checks["red-flags"], hands_off=("knock",))
    book = replace(book, checks={**book.checks, "red-flags": flags})
    knocks = State(findings=(Finding("red-flags", ("metal-noise", "knock"), "asked"),))
    assert load_gate(book, knocks, CAUSES, HARMLESS).hands_off == (
        "Nobody works on this car until a licensed workshop has found and mended this: a knock.",
    )
    noise = State(findings=(Finding("red-flags", ("metal-noise",), "asked"),))
    assert load_gate(book, noise, CAUSES, HARMLESS).hands_off == ()
    assert load_gate(knowledge(), knocks, CAUSES, HARMLESS).hands_off == ()


def test_the_gate_opens_on_a_clean_car() -> None:
    assert load_gate(knowledge(), State(findings=CLEAN), CAUSES, HARMLESS).allowed


@pytest.mark.parametrize(
    ("findings", "reason"),
    [
        ((CLEAN[1],), "Every hose must be traced"),
        ((CLEAN[1], Finding("hose-trace", (), "asked")), "Every hose must be traced"),
        ((CLEAN[1], Finding("hose-trace", ("wrong-port",), "asked")), "Every hose must be traced"),
        ((CLEAN[0],), "red flags must be asked"),
        ((CLEAN[0], Finding("red-flags", (), "asked")), "red flags must be asked"),
        ((CLEAN[0], Finding("red-flags", ("knock",), "asked")), "Seen in the check red-flags"),
        ((*CLEAN, Finding("run", ("above",), "log")), "Seen in the check run: Far more."),
    ],
)
def test_the_gate_is_shut_and_says_why(findings: tuple[Finding, ...], reason: str) -> None:
    gate = load_gate(knowledge(), State(findings=findings), CAUSES, HARMLESS)
    assert not gate.allowed
    assert any(reason in sentence for sentence in gate.because)


def test_the_chance_of_unlimited_boost_shuts_the_gate_and_a_broken_wheel_does_not() -> None:
    state = State(findings=CLEAN)
    assert not load_gate(knowledge(), state, CAUSES, belief(0, 0.94, 0.06, 0)).allowed
    assert load_gate(knowledge(), state, CAUSES, belief(0, 0.94, 0, 0.06)).allowed


def test_an_unlisted_cause_counts_where_boost_was_too_high() -> None:
    book = knowledge()
    odd = belief(0, 0.9, 0, 0, unlisted=0.1)
    assert load_gate(book, State(findings=CLEAN, symptoms=("lazy",)), CAUSES, odd).allowed
    state = State(findings=CLEAN, symptoms=("lazy", "power-cut"))
    assert not load_gate(book, state, CAUSES, odd).allowed


shares = st.lists(st.floats(0, 1), min_size=4, max_size=4)
findings = st.lists(
    st.builds(
        Finding,
        st.sampled_from(["hose-trace", "red-flags", "run", "lamp"]),
        st.sampled_from([(), ("matches",), ("none",), ("knock",), ("above",), ("ring",)]),
        st.sampled_from(["asked", "mail", "log", "hookup"]),
    ),
    max_size=4,
    unique_by=lambda finding: finding.check,
)


@given(shares, st.floats(0, 1), findings, st.sets(st.sampled_from(["lazy", "overboost"])))
def test_the_gate_never_opens_without_every_one_of_its_conditions(
    single: list[float], unlisted: float, seen: list[Finding], symptoms: set[str]
) -> None:
    state = State(findings=tuple(seen), symptoms=tuple(sorted(symptoms)))
    weights = normalised(np.array(single), np.zeros((4, 4)), unlisted)
    gate = load_gate(knowledge(), state, CAUSES, weights)
    assert gate.allowed == (gate.because == ())
    if gate.allowed:
        assert state.answers("hose-trace") == ("matches",)
        assert state.answers("red-flags") == ("none",)
        assert state.answers("run") != ("above",)
        assert "overboost" not in symptoms
        assert weights.single[2] < 0.05
