from __future__ import annotations

import pytest

from expert.evidence.mail.resemblance import Kin, Resemblance, Stretch, stretches_of
from expert.evidence.mail.stance import TAKEN
from expert.evidence.mail.words import tokens_of
from tests.evidence.mail.understanding import sentences

HEARD = {
    "lazy": ("slow to build boost", "takes ages to come on boost"),
    "flutter": ("it chatters when I lift", "a flutter off the throttle"),
    "solenoid-click=silent": ("the solenoid does not click", "no click from the solenoid"),
    "solenoid-click=crisp": ("the solenoid clicks loud and clear", "a crisp click"),
    "what-changed=just-fitted": ("since I fitted the pipe on Monday", "began right after the work"),
    "what-changed=nothing": ("nobody touched anything", "nothing was changed"),
    "none": ("thank you for your letter", "I live in the hills"),
    "vague": ("the turbo is not right",),
    "unrelated": ("where is my parcel", "please send the invoice"),
}
KIN = Kin(HEARD, ["lazy", "flutter", "creep"])


def stretches(text: str, subject_from: int = 99) -> list[Stretch]:
    return list(stretches_of(sentences(text), subject_from))


def resemblance(text: str, subject_from: int = 99) -> Resemblance:
    return Resemblance(stretches(text, subject_from), KIN)


def answers(text: str, **options: int) -> dict[str, str]:
    found = resemblance(text, **options).answers(TAKEN, TAKEN, 0.5, ())
    return {one.check: one.answer for one in found}


def test_a_sentence_and_its_longer_clauses() -> None:
    text = "Slow to build boost, and the solenoid does not click, ok. Thanks."
    found = [(text[one.start : one.end], one.whole) for one in stretches(text)]
    assert found == [
        ("Slow to build boost, and the solenoid does not click, ok", True),
        ("Slow to build boost", False),
        (", and the solenoid does not click", False),
        ("Thanks", True),
    ]


def test_each_stretch_has_its_own_stance() -> None:
    (asked,) = stretches("Is the solenoid silent?")
    assert asked.stance == "asked"
    (said,) = stretches("The solenoid is silent.")
    assert said.stance == "said"


def test_complaints_and_topics_count_sentences() -> None:
    found = resemblance("It is slow to build boost. It chatters when I lift. Where is my parcel")
    assert found.complaints()["lazy"] == pytest.approx(1.0, abs=0.35)
    assert found.complaints()["flutter"] == pytest.approx(1.0, abs=0.35)
    assert found.topics()["unrelated"] == pytest.approx(1.0, abs=0.35)
    assert "creep" not in found.complaints()
    total = sum(found.complaints().values()) + sum(found.topics().values()) + found.findings()
    assert total == pytest.approx(3.0)


def test_what_is_said_of_another_car_is_passed_over() -> None:
    found = resemblance("My friends car is slow to build boost.")
    assert found.complaints()["lazy"] == 0.0
    assert found.best("lazy") is None


def test_one_sentence_tells_a_complaint_and_a_finding() -> None:
    found = answers("it is slow to build boost since I fitted the pipe")
    assert found["what-changed"] == "just-fitted"


def test_the_stretch_that_is_likest_is_the_quote() -> None:
    text = "I live in the hills, the solenoid clicks loud and clear, thank you."
    (one,) = resemblance(text).answers(TAKEN, TAKEN, 0.5, ())
    assert (one.check, one.answer) == ("solenoid-click", "crisp")
    assert text[one.stretch.start : one.stretch.end] == ", the solenoid clicks loud and clear"


def test_what_is_asked_or_stands_in_the_subject_is_no_finding() -> None:
    assert answers("The solenoid does not click.") == {"solenoid-click": "silent"}
    assert answers("Does the solenoid not click?") == {}
    assert answers("The solenoid does not click.", subject_from=0) == {}


def test_an_answer_that_is_asked_for_comes_with_any_share() -> None:
    found = resemblance("I live in the hills.").answers(TAKEN, TAKEN, 0.9, {"solenoid-click=crisp"})
    assert [(one.check, one.answer) for one in found] == [("solenoid-click", "crisp")]


def test_without_topics_and_complaints_there_is_nothing_to_find() -> None:
    kin = Kin({"solenoid-click=crisp": ("a crisp click",)}, ["lazy"])
    found = Resemblance(stretches("It clicks."), kin)
    assert (found.complaints(), found.topics(), found.best("lazy")) == ({}, {}, None)


def test_words_that_are_known_to_answer_a_check() -> None:
    answer, share = KIN.answer_to("solenoid-click", tokens_of("no click at all")) or ("", 0.0)
    assert answer == "silent"
    assert 0.2 < share < 1.0
    assert KIN.answer_to("seat-ring", tokens_of("not a click")) is None
    assert KIN.answer_to("solenoid-click", []) is None
