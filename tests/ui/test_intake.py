"""What is asked before any check, and in which order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.case.events import Described, Event
from expert.case.fitted import fitted
from expert.case.state import fold
from expert.errors import UsageError
from expert.ui.intake import missing, spring, target
from expert.ui.question import Question
from expert.ui.reading import Given, Reading
from expert.units import UnitMissingError
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()


def asked(*events: Event, no_more: bool = False) -> Question | None:
    return missing(KNOWLEDGE, fitted(fold(events), KNOWLEDGE), no_more)


def question(*events: Event, no_more: bool = False) -> Question:
    found = asked(*events, no_more=no_more)
    assert found is not None
    return found


SETUP = Described("setup", "outer")
EITHER = Described("setup", "either")
BYPASS = Described("bypass", None)
LAZY = Described("symptom", "lazy")
SPRING = Described("spring_kpa", None)
TARGET = Described("target_kpa", None)


def test_the_order_of_the_questions() -> None:
    said: list[Event] = []
    order = []
    for event, no_more in [
        (EITHER, False),
        (Described("gate", "internal"), False),
        (BYPASS, False),
        (LAZY, False),
        (None, False),
        (SPRING, True),
        (TARGET, True),
    ]:
        order.append(question(*said, no_more=no_more).ask)
        said += [event] if event else []
    assert [text.split()[0] + " " + text.split()[1] for text in order] == [
        "How is",
        "Which wastegate",
        "Which bypass",
        "What does",
        "Does it",
        "At what",
        "What boost",
    ]
    assert asked(*said, no_more=True) is None


def test_a_setup_with_its_own_gate_asks_for_none() -> None:
    assert "bypass" in question(SETUP).ask


def test_answers_become_events() -> None:
    assert question().hear(Given(("outer",))) == SETUP
    assert question(EITHER).hear(Given(("internal",))) == Described("gate", "internal")
    assert question(SETUP).hear(Given(("none",))) == Described("bypass", "none")
    assert question(SETUP, BYPASS).hear(Given(("lazy",))) == LAZY
    more = question(SETUP, BYPASS, LAZY)
    assert more.hear(Given(("overboost",))) == Described("symptom", "overboost")
    assert more.hear(Given(("no",))) == Described("symptom", None)


def test_the_gates_to_choose_from_are_those_of_the_setup() -> None:
    assert list(question(EITHER).expected.answers) == ["internal", "external"]


def test_a_complaint_is_not_offered_twice() -> None:
    assert list(question(SETUP, BYPASS, LAZY).expected.answers) == ["no", "overboost"]
    both = question(SETUP, BYPASS, LAZY, Described("symptom", "overboost"))
    assert both.ask == spring().ask


def test_what_cannot_be_done_without_is_not_skipped() -> None:
    for needed in (question(), question(EITHER), question(SETUP, BYPASS)):
        with pytest.raises(UsageError, match="how"):
            needed.unknown()
        with pytest.raises(UsageError, match="cannot be skipped"):
            needed.skip()


def test_the_rest_may_be_unknown() -> None:
    assert question(SETUP).unknown() == question(SETUP).skip() == BYPASS
    assert question(SETUP, BYPASS, LAZY).unknown() == Described("symptom", None)
    assert spring().unknown() == spring().skip() == SPRING
    assert target().unknown() == target().skip() == TARGET


def test_how_says_how_to_recognise_it() -> None:
    assert "One hose from the housing below the diaphragm." in shown(question().how())
    assert "outer gate" in shown(question(EITHER).how())
    assert "A valve." in shown(question(SETUP).how())
    assert "Less boost than before." in shown(question(SETUP, BYPASS).how())
    assert "More boost than was asked for." in shown(question(SETUP, BYPASS, LAZY).how())
    assert "spring chart" in shown(spring().how())
    assert "full throttle" in shown(target().how())


def test_every_question_says_why() -> None:
    for each in (question(), question(EITHER), question(SETUP), spring(), target()):
        assert len(shown(each.why())) > 20


def test_pressures_with_their_unit() -> None:
    event = spring().hear(Reading("12 psi"))
    # 12 psi by the factor of NIST SP 811.
    assert event == Described("spring_kpa", pytest.approx(12 * 6.894757, abs=0.001))
    assert target().hear(Reading("1,4 bar")) == Described("target_kpa", 140.0)


@pytest.mark.parametrize("text", ["0.5 psi", "900 psi", "-12 psi", "12 mbar"])
def test_pressures_that_no_car_has(text: str) -> None:
    with pytest.raises(UsageError, match="expected"):
        spring().hear(Reading(text))


def test_a_number_alone_is_asked_for_its_unit() -> None:
    with pytest.raises(UnitMissingError):
        spring().hear(Reading("12"))
    with pytest.raises(UsageError, match="with its unit"):
        spring().hear(Given(("twelve",)))


def test_knowledge_with_one_symptom_asks_for_no_other() -> None:
    lone = replace(KNOWLEDGE, symptoms={"lazy": KNOWLEDGE.symptoms["lazy"]})
    state = fitted(fold([SETUP, BYPASS, LAZY]), lone)
    found = missing(lone, state, no_more_symptoms=False)
    assert found is not None
    assert found.ask == spring().ask
