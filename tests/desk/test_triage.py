"""What a message amounts to: ``expert/desk/triage.py``."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.offer import Offer
from expert.desk.asking import HOUSEHOLD
from expert.desk.triage import FEARED, MOST_QUESTIONS, unit_question
from expert.evidence.mail.judgement import MUST_STAND
from expert.evidence.mail.lexicon import Meaning
from expert.evidence.mail.understood import Heard, Read, Understanding
from tests.desk.mails import desk, knowledge, read, triage


@pytest.mark.parametrize(
    ("text", "drive", "urgency"),
    [
        ("it overboosts, 22 psi on a 10 psi spring", "stop", 3),
        ("the turbo makes no boost and I smell petrol", "stop", 3),
        ("turbo is glowing red, what now", "stop", 3),
        ("boost creeps up with the revs", "caution", 2),
        ("boost is stuck at 7 psi whatever the duty", "ok", 1),
        ("boost is wrong pls help", "caution", 1),
        ("where is my invoice", "ok", 0),
    ],
)
def test_verdict_and_urgency(text: str, drive: str, urgency: int) -> None:
    found = triage(text)
    assert (found.assessed.drive, found.urgency) == (drive, urgency)


def test_ranking_of_a_known_setup_is_that_of_the_consultation() -> None:
    found = triage("external gate, 3 port solenoid, turbo makes no boost, full ring of light")
    one = found.assessed.consultation
    assert one is not None
    assert found.assessed.causes[0][0] == one.order[0] == "seat-ring-missing"
    assert found.assessed.causes[0][1] == pytest.approx(one.chance("seat-ring-missing"))


def test_an_unknown_setup_is_weighed_over_those_that_fit() -> None:
    external = triage("external gate, boost creeps with the revs").assessed
    setups = {one.state.setup for one in external.consultations}
    assert {"external-single", "dual-four-port"} <= setups
    assert "internal-nipple" not in setups
    total = sum(chance for _, chance in external.causes)
    mean = sum(
        one.chance(name) for name, _ in external.causes for one in external.consultations
    ) / len(external.consultations)
    assert total == pytest.approx(mean)


def test_vague_mail_gets_questions_and_no_guess() -> None:
    found = triage("boost is wrong pls help")
    assert found.assessed.causes == ()
    asked = [one.check or one.about for one in found.queries]
    assert asked == ["red-flags", "symptom", "setup"]


def test_an_unclear_number_becomes_a_question() -> None:
    found = triage("the boost gauge reads 240 kPa and it is stuck at that")
    assert any(one.about == "unit" and "240 kPa" in one.ask for one in found.queries)
    (figure,) = read("boost is stuck at 9").understanding.unclear
    assert unit_question(figure) == "You wrote 9: is that psi, bar or kPa?"


def test_unrelated_and_broken_mail_gets_nothing() -> None:
    broken = Read(3, "m", None, "it is empty", Understanding("broken"))
    for one in (triage("invoice attached"), desk().triage(broken)):
        assert (one.queries, one.assessed.causes, one.about_a_car) == ((), (), False)


def test_a_broken_message_is_not_judged_and_must_be_read() -> None:
    found = desk().triage(Read(3, "m", None, "it is empty", Understanding("broken")))
    assert found.assessed.drive is None
    assert found.urgency > triage("boost is stuck at 7 psi whatever the duty").urgency


PIECES = st.sampled_from(
    [
        "it overboosts.", "turbo makes no boost.", "boost creeps.", "stuck at 7 psi.",
        "boost hunts.",
        "external gate.", "internal gate.", "3 port solenoid.", "bleed valve.", "7 psi spring.",
        "hoses match the diagram.", "no red flags.", "solenoid clicks fine.", "just fitted it.",
        "flutter when i lift off.", "the throttle shuts.", "no codes.",
    ]
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(PIECES, min_size=1, max_size=6).map(" ".join))
def test_questions_are_few_offered_and_can_be_done_at_home(text: str) -> None:
    found = triage(text)
    assert len(found.queries) <= MOST_QUESTIONS
    one = found.assessed.consultation
    for query in found.queries:
        if query.check and one is not None:
            offer = one.offer(query.check)
            assert isinstance(offer, Offer)
            assert not offer.check.loads_engine
            assert HOUSEHOLD.issuperset(offer.check.tools)
    assert knowledge().policy.slip.mail == 0.15


def test_like_cars_are_worked_out_once() -> None:
    first = triage("external gate, boost creeps with the revs")
    second = triage("boost creeps with revs, external gate")
    assert first.assessed is second.assessed


def feared(danger: float) -> Read:
    """A harmless complaint whose words may tell of danger as well."""
    message = read("boost is stuck at 7 psi whatever the duty, it goes tick tick")
    mail = message.mail
    assert mail is not None
    words = "it goes tick tick"
    start = mail.text.index(words)
    alarm = Heard(Meaning("answer", "red-flags", "knock"), "said", words, start, start + len(words))
    told = replace(message.understanding, danger=danger, alarming=(alarm,))
    return replace(message, understanding=told)


def test_a_car_stands_still_until_words_that_may_tell_of_danger_are_read() -> None:
    found = desk().triage(feared(MUST_STAND))
    assert (found.assessed.drive, found.assessed.because, found.urgency) == ("stop", FEARED, 3)
    assert found.feared
    assert found.to_be_read
    # The ranking is that of what was understood.
    assert found.assessed.causes == desk().triage(feared(0.0)).assessed.causes


def test_less_likely_danger_is_only_to_be_read() -> None:
    found = desk().triage(feared(MUST_STAND - 0.01))
    assert (found.assessed.drive, found.feared, found.to_be_read) == ("ok", False, True)


def test_a_car_that_is_stopped_by_what_it_does_is_not_feared_for() -> None:
    message = read("it overboosts, 22 psi on a 10 psi spring")
    told = replace(message.understanding, danger=0.99)
    found = desk().triage(replace(message, understanding=told))
    assert (found.assessed.drive, found.feared, found.to_be_read) == ("stop", False, False)
