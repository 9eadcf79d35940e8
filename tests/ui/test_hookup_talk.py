"""The plumbing asked port by port: ``expert/ui/hookup_talk.py``."""

from __future__ import annotations

import pytest

from expert.evidence.hookup.found import as_it_should_be, found_from
from expert.ui.hookup_talk import UNKNOWN, Answers, ask_ports
from expert.ui.protocol import Cancelled, Interrupted
from tests.evidence.hookup.rigs import layout, shipped
from tests.ui.script import Line, Script

NO, COM, NC = (f"three-port.{p}" for p in ("normally-open", "common", "normally-closed"))
NIPPLE, TAP = "housing-nipple.nipple", "inlet-pipe.tap"


def asked(*lines: Line, setup: str = "internal-nipple") -> tuple[Answers, Script]:
    script = Script(lines)
    return ask_ports(shipped(), layout(setup), script), script


def test_a_car_as_it_should_be() -> None:
    answers, script = asked(NO, "internal-gate.nipple", TAP, "cap", "air")
    one = layout("internal-nipple")
    assert answers.unseen() == ()
    found = found_from(one, answers.texts())
    assert found == as_it_should_be(one)
    # Each hose is asked for once.
    assert len(script.prompts) == 5
    assert "do not go by them" in script.text()


def test_source_and_vent_swapped() -> None:
    answers, _ = asked(NC, TAP, "internal-gate.nipple", "cap", "air")
    hoses = found_from(layout("internal-nipple"), answers.texts()).hoses
    assert frozenset((NIPPLE, NC)) in hoses
    assert frozenset((NO, TAP)) in hoses


def test_numbers_mistakes_and_dropped_lines() -> None:
    answers, script = asked("nonsense", Cancelled, "", "99", "3", "back", "1", "cap")
    assert answers.ends[NIPPLE] == "air"
    assert len(script.prompts) >= 8
    assert "'nonsense' is not on this car" in script.text()
    assert "'99'" in script.text()


def test_back_at_the_first_port_changes_nothing() -> None:
    answers, _ = asked("back", NO)
    assert answers.ends[NIPPLE] == NO


def test_what_nobody_can_tell_was_not_seen() -> None:
    answers, _ = asked(UNKNOWN, "internal-gate.nipple", TAP, "cap", "air")
    assert NIPPLE in answers.unseen()
    assert not [text for text in answers.texts() if NIPPLE in text]


def test_when_the_input_ends_the_rest_was_not_seen() -> None:
    answers, script = asked(NO)
    assert answers.texts() == [f"{NIPPLE}={NO}"]
    assert {COM, NC, TAP} <= set(answers.unseen())
    assert f"--hose {NIPPLE}={NO}" in script.text()


def test_interrupted_it_says_what_was_said_and_ends() -> None:
    script = Script([NO, Interrupted])
    with pytest.raises(KeyboardInterrupt):
        ask_ports(shipped(), layout("internal-nipple"), script)
    assert f"--hose {NIPPLE}={NO}" in script.text()


def test_what_is_known_is_not_asked_again() -> None:
    script = Script([TAP, "internal-gate.nipple", "cap", "air"])
    known = {NIPPLE: NC, NC: NIPPLE}
    answers = ask_ports(shipped(), layout("internal-nipple"), script, known)
    assert len(script.prompts) == 4
    hoses = found_from(layout("internal-nipple"), answers.texts()).hoses
    assert {frozenset((NIPPLE, NC)), frozenset((NO, TAP))} <= hoses
    assert answers.unseen() == ()


def test_a_port_not_told_may_be_the_end_of_another_hose() -> None:
    answers, _ = asked(UNKNOWN, NIPPLE, "internal-gate.nipple", TAP, "cap", "air")
    assert answers.unseen() == ()
    assert f"{NO}={NIPPLE}" in answers.texts()


def test_every_wrong_word_has_its_own_answer() -> None:
    _, script = asked(NO, COM, "", NIPPLE, "lost")
    text = script.text()
    assert f"A hose cannot go from {COM} to itself" in text
    assert "Type the port at the other end or its number" in text
    assert f"{NIPPLE} has been told already" in text


def test_a_dropped_line_is_said() -> None:
    _, script = asked(Cancelled)
    assert "Line dropped." in script.text()


def test_what_cannot_be_a_port() -> None:
    _, script = asked("lost")
    text = script.text()
    assert "'lost' is not on this car" in text
