"""Every step of a consultation becomes a question, and every answer an event."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import (
    Answered,
    Confirmed,
    Described,
    Event,
    Mended,
    Persists,
    RuledOut,
    SetAside,
)
from expert.case.measured import SpringUnknownError
from expert.case.offer import Offer, Withheld
from expert.case.state import fold
from expert.case.steps import AskStep, ConcludeStep, VerifyStep, WorkshopStep
from expert.errors import UsageError
from expert.ui.question import Question, TakeUp
from expert.ui.reading import Given, Reading
from expert.ui.steps import check_question, question_of, taken_up
from expert.units import UnitMissingError
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()
CONSULTANT = Consultant(KNOWLEDGE)
START: list[Event] = [
    Described("setup", "outer"),
    Described("symptom", "lazy"),
    Described("spring_kpa", 80.0),
]
QUIET: list[Event] = [
    Answered("red-flags", ("none",)),
    Answered("what-changed", ("nothing",)),
    Answered("hose-trace", ("matches",)),
    Answered("shaft", ("free",)),
]


def consult(*events: Event) -> Consultation:
    return CONSULTANT.consult(fold([*START, *events]))


def check(check_id: str, *events: Event) -> Question:
    consultation = consult(*QUIET, *events)
    made = consultation.offer(check_id)
    assert isinstance(made, Offer)
    return check_question(consultation, made)


def test_the_first_step_asks_the_first_check_of_the_tree() -> None:
    consultation = consult()
    assert isinstance(consultation.step, AskStep)
    question = question_of(consultation, consultation.step)
    assert question.ask == KNOWLEDGE.checks["red-flags"].ask
    assert question.expected.several
    assert question.expected.alone == "none"
    assert question.hear(Given(("knock",))) == Answered("red-flags", ("knock",))
    assert question.unknown() == Answered("red-flags", ())
    assert question.skip() == SetAside("red-flags")


def test_a_graded_check_takes_one_answer() -> None:
    question = check("lamp")
    assert (question.expected.several, question.expected.alone) == (False, None)
    with pytest.raises(UsageError):
        question.hear(Reading("12 psi"))


@pytest.mark.parametrize(
    ("text", "answer"),
    # The bins of the small knowledge: the spring of 80 kPa less 14, and plus 20.
    [("0.5 bar", "below"), ("80 kPa", "on-spring"), ("14.5 psi", "on-spring"), ("15 psi", "above")],
)
def test_a_reading_is_binned_against_the_spring(text: str, answer: str) -> None:
    question = check("run", Answered("smoke", ("plume",)))
    assert question.expected.reading
    assert question.hear(Reading(text)) == Answered("run", (answer,))


def test_a_reading_without_unit_or_spring_is_refused() -> None:
    smoke = Answered("smoke", ("plume",))
    with pytest.raises(UnitMissingError):
        check("run", smoke).hear(Reading("12"))
    with pytest.raises(SpringUnknownError):
        check("run", smoke, Described("spring_kpa", None)).hear(Reading("12 psi"))


RING = Answered("lamp", ("ring",))


def test_a_conclusion_asks_whether_it_was_that() -> None:
    consultation = consult(*QUIET, RING)
    assert isinstance(consultation.step, ConcludeStep)
    question = question_of(consultation, consultation.step)
    assert question.hear(Given(("mended",))) == Mended("ring-missing")
    assert question.hear(Given(("not-it",))) == RuledOut("ring-missing")
    for refused in (question.unknown, question.skip):
        with pytest.raises(UsageError, match="leave"):
            refused()
    assert "Look closely." in shown(question.how())
    assert "strongly for" in shown(question.why())


def test_after_a_repair_the_dialogue_asks_whether_the_trouble_is_gone() -> None:
    consultation = consult(*QUIET, RING, Mended("ring-missing"))
    for run, answers in [
        (None, ["gone", "still-there"]),
        (Withheld("run", ("It knocks.",)), ["gone", "still-there"]),
        (
            consult(*QUIET, Answered("smoke", ("plume",))).offer("run"),
            ["gone", "still-there", "run"],
        ),
    ]:
        question = question_of(consultation, VerifyStep("ring-missing", run))
        assert list(question.expected.answers) == answers
        assert question.hear(Given(("gone",))) == Confirmed("ring-missing")
        assert question.hear(Given(("still-there",))) == Persists()
        with pytest.raises(UsageError, match="leave"):
            question.unknown()
    assert question.hear(Given(("run",))) == TakeUp("run")


DONE: list[Event] = [
    *QUIET,
    SetAside("lamp"),
    Answered("smoke", ()),
    Answered("duty-read", ("some",)),
    Answered("run", ()),
]
STOP = WorkshopStep("no check is left here that is safe and worth its minutes")


def test_at_the_workshop_the_checks_that_were_skipped_can_be_taken_up() -> None:
    question = question_of(consult(*DONE), STOP)
    assert list(question.expected.answers) == ["lamp", "smoke", "run"]
    assert question.hear(Given(("smoke",))) == TakeUp("smoke")
    with pytest.raises(UsageError, match="nothing more to answer"):
        question.unknown()


def test_where_nobody_may_work_on_the_car_only_the_red_flags_can_be_taken_up() -> None:
    flags = replace(KNOWLEDGE.checks["red-flags"], hands_off=("knock",))
    book = replace(KNOWLEDGE, checks={**KNOWLEDGE.checks, "red-flags": flags})
    events = [*START, *QUIET[1:], Answered("red-flags", ("knock",)), SetAside("lamp")]
    consultation = Consultant(book).consult(fold(events))
    question = question_of(consultation, consultation.step)
    assert list(question.expected.answers) == ["red-flags"]
    assert question.ask == "When a workshop has mended that, answer the red flags again."
    again = taken_up(Consultant(book).consult, consultation, "red-flags")
    assert "none" in again.expected.answers
    refused = taken_up(Consultant(book).consult, consultation, "lamp")
    assert "lamp must not be done yet" in shown(refused.intro)


def test_at_the_workshop_with_nothing_left() -> None:
    question = question_of(consult(*QUIET), STOP)
    assert not question.expected.answers
    assert "Nothing is left to ask." in question.ask


def test_a_check_that_is_taken_up_is_asked_as_if_it_were_new() -> None:
    consultation = consult(*DONE)
    question = taken_up(CONSULTANT.consult, consultation, "smoke")
    assert question.ask == KNOWLEDGE.checks["smoke"].ask
    assert question.hear(Given(("plume",))) == Answered("smoke", ("plume",))
    assert "% likely" in shown(question.why()).replace("\N{NO-BREAK SPACE}", " ")


def test_a_loaded_run_is_taken_up_only_through_the_gate() -> None:
    flagged = [event for event in DONE if event != Answered("hose-trace", ("matches",))]
    consultation = consult(*flagged, Answered("hose-trace", ("wrong-port",)))
    question = taken_up(CONSULTANT.consult, consultation, "run")
    assert question.ask != KNOWLEDGE.checks["run"].ask
    assert "run must not be done yet" in shown(question.intro)


def test_a_check_that_clears_the_way_for_a_run_says_so() -> None:
    consultation = consult()
    step = consultation.step
    assert isinstance(step, AskStep)
    word = "may clear the way"
    assert word not in shown(question_of(consultation, step).intro)
    assert word in shown(question_of(consultation, replace(step, clears=True)).intro)
