"""Where a case arrives."""

from __future__ import annotations

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event, Mended, RuledOut
from expert.case.offer import Offer, Withheld
from expert.case.state import fold
from expert.case.steps import ConcludeStep, VerifyStep, WorkshopStep
from expert.ui import show_end
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()
CONSULTANT = Consultant(KNOWLEDGE)
START: list[Event] = [Described("setup", "outer"), Described("symptom", "lazy")]
RING: list[Event] = [
    *START,
    Answered("red-flags", ("none",)),
    Answered("what-changed", ("just-fitted",)),
    Answered("hose-trace", ("matches",)),
    Answered("lamp", ("ring",)),
]


def consult(*events: Event) -> Consultation:
    return CONSULTANT.consult(fold(events))


def concluded(*events: Event) -> tuple[Consultation, ConcludeStep]:
    consultation = consult(*events)
    assert isinstance(consultation.step, ConcludeStep)
    return consultation, consultation.step


def flat(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def test_a_likely_cause_is_told_in_full() -> None:
    consultation, step = concluded(*RING)
    text = flat(shown(show_end.conclusion(consultation, step)))
    chance = round(100 * consultation.chance("ring-missing"))
    assert "Likely cause Ring left out." in text
    assert f"How sure: almost certain, {chance} %" in text
    assert "Ring left out, and what it does." in text
    assert "Make sure first: Look closely." in text
    assert "Then mend it: Mend it." in text
    assert "Takes: about 20 min, cheap parts" in text
    assert "If it was not that: say not-it" in text


def test_second_suspects_are_the_next_in_the_ranking() -> None:
    consultation, step = concluded(*RING)
    text = flat(shown(show_end.conclusion(consultation, step)))
    second = consultation.order[1]
    assert consultation.chance(second) >= 0.03
    assert KNOWLEDGE.causes[second].title in text.partition("Other suspects")[2]


def test_a_suspect_that_is_not_sure_is_not_called_likely() -> None:
    consultation, step = concluded(*RING)
    unsure = ConcludeStep(step.cause, certain_enough=False, explains=True)
    text = flat(shown(show_end.conclusion(consultation, unsure)))
    assert text.startswith("Best suspect No check that is left is worth its minutes")


def test_the_evidence_is_told_strongest_first() -> None:
    consultation, step = concluded(*RING)
    lines = flat(shown(show_end.evidence(consultation, step)))
    assert "strongly for: lamp: A ring of light." in lines
    weights = [abs(weighed.decibans) for weighed in step.cause.why]
    assert weights == sorted(weights, reverse=True)


def workshop(*events: Event) -> str:
    consultation = consult(*events)
    step = WorkshopStep("no check is left here that is safe and worth its minutes")
    return flat(shown(show_end.workshop(consultation, step)))


def test_the_workshop_is_told_everything_and_the_owner_what_not_to_do() -> None:
    text = workshop(*RING, RuledOut("charge-leak"))
    assert "Gatepost stops here: no check is left" in text
    assert "Setup: Outer gate." in text
    assert "lamp: A ring of light." in text
    assert "Sound: Charge pipe off." in text
    assert "Suspected: Ring left out" in text
    assert "No full-throttle runs" in text
    assert "Do not clear stored codes" in text


def test_until_then_a_stop_stays_a_stop() -> None:
    text = workshop(*START, Answered("red-flags", ("knock",)))
    assert "Do not drive the car; have it moved on a trailer." in text
    assert "Drive gently" not in text


def test_a_fault_that_cannot_be_the_complaint_is_said_to_be_that() -> None:
    consultation, step = concluded(*RING)
    beside = ConcludeStep(step.cause, certain_enough=True, explains=False)
    assert "cannot be why you complain" in flat(shown(show_end.conclusion(consultation, beside)))
    assert "cannot be why" not in flat(shown(show_end.conclusion(consultation, step)))


MENDED: list[Event] = [
    *RING,
    Described("spring_kpa", 80.0),
    Mended("ring-missing"),
    Answered("hose-trace", ("matches",)),
    Answered("red-flags", ("none",)),
]


def test_after_the_repair_a_run_has_its_limit() -> None:
    consultation = consult(*MENDED)
    made = consultation.offer("run")
    assert isinstance(made, Offer)
    step = VerifyStep("ring-missing", made)
    text = flat(shown(show_end.verification(consultation, step)))
    assert "Mended: Ring left out" in text
    assert "DANGER: Not on a public road." in text
    assert "Lift off at once at 100 kPa (14.5 psi)" in text


def test_after_the_repair_a_run_may_still_be_withheld() -> None:
    consultation = consult(*MENDED)
    step = VerifyStep("ring-missing", Withheld("run", ("It knocks.",)))
    text = flat(shown(show_end.verification(consultation, step)))
    assert "No full-throttle run yet" in text
    assert "It knocks." in text
    assert "Lift off" not in text


def test_how_firm_is_one_plain_sentence() -> None:
    consultation, _ = concluded(*RING)
    (fact,) = show_end.firm(consultation)
    text = shown([fact])
    assert text.startswith(
        "How firm: with all the numbers behind it shaken, it stays first in 100%"
    )
    assert text.endswith("of 24 tries.")
