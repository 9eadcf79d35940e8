"""Messages as events of a case: ``expert/desk/statements.py``."""

from __future__ import annotations

import pytest

from expert.case.events import Answered, Described
from expert.case.state import State, fold
from expert.desk.statements import answers_of, events_of, named_parts
from expert.evidence.mail.understood import Fact, Understanding
from tests.desk.mails import knowledge, read


def state(text: str) -> State:
    return fold(events_of(read(text).understanding, knowledge()))


def test_all_that_a_message_says_is_a_claim() -> None:
    text = (
        "internal gate with a tap in the coupler, 3 port solenoid. boost stuck at 7 psi, 7 psi "
        "spring, target 14 psi. solenoid clicks fine. fitted the new solenoid on friday"
    )
    told = state(text)
    assert (told.setup, told.symptoms) == ("internal-tap", ("spring-ceiling",))
    assert round(told.spring_kpa or 0) == 48
    assert told.target_kpa == pytest.approx(96.5, abs=0.05)
    assert told.answers("solenoid-click") == ("crisp",)
    assert told.answers("what-changed") == ("just-fitted",)
    assert {one.origin for one in told.findings} == {"mail"}


def test_readings_become_answers_against_the_spring() -> None:
    assert state("22 psi at 0 duty on a 12 psi spring").answers("zero-duty-log") == ("well-above",)
    opened = state("no boost, the gate opens at 15 psi on the hand pump, 7 psi spring")
    assert opened.answers("first-movement") == ("high",)
    assert state("turbo holds 9 psi at 0 duty").answers("zero-duty-log") == ()


def test_a_fault_beside_all_is_well_counts() -> None:
    facts = [Fact("red-flags", one, "x", 0, 1) for one in ("none", "knock", "misfire")]
    assert answers_of(facts, knowledge()) == {"red-flags": ("knock", "misfire")}
    facts = [Fact("seat-ring", one, "x", 0, 1) for one in ("one-square", "none")]
    assert answers_of(facts, knowledge()) == {"seat-ring": ("none",)}
    assert answers_of([Fact("no-such", "x", "x", 0, 1)], knowledge()) == {}


def test_what_no_car_has_is_left_out() -> None:
    odd = Understanding("complaint", setup="no-such", symptoms=("no-such",), spring_kpa=5000.0)
    assert events_of(odd, knowledge()) == []


def test_parts_that_leave_the_setup_open_are_kept() -> None:
    told = state("external wastegate, boost creeps")
    assert told.setup is None
    assert "external-gate" in named_parts(told)


def test_who_answers_a_check_has_its_parts() -> None:
    told = state("boost went to 2 bar, the controller was on backwards")
    assert "manual-controller" in named_parts(told)


def test_events_are_of_two_kinds() -> None:
    events = events_of(read("the turbo overboosts, no codes").understanding, knowledge())
    assert events == [
        Described("symptom", "overboost"),
        Answered("stored-codes", ("none",), "mail"),
    ]
