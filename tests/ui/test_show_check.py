"""A check on the screen: dangers first, and what each answer would tell."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.offer import Offer
from expert.case.state import fold
from expert.ui import show_check
from expert.ui.protocol import Cautions, Fact
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()
CONSULTANT = Consultant(KNOWLEDGE)
START: list[Event] = [Described("setup", "outer"), Described("symptom", "lazy")]
CLEAN: list[Event] = [
    Answered("red-flags", ("none",)),
    Answered("hose-trace", ("matches",)),
]


def consult(*events: Event) -> Consultation:
    return CONSULTANT.consult(fold([*START, *events]))


def offered(consultation: Consultation, check_id: str, with_hoses: bool = False) -> str:
    made = consultation.offer(check_id)
    assert isinstance(made, Offer)
    text = shown(show_check.offered(consultation, made, with_hoses))
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_dangers_come_before_work_tools_and_minutes() -> None:
    lines = [line for line in offered(consult(*CLEAN), "lamp").splitlines() if line]
    assert lines == [
        "Next check: lamp",
        "WARNING: Hot parts burn. Let them cool.",
        "CAUTION: It is heavy.",
        "First: Take the gate off (45 min)",
        "Tools: a lamp",
        "Takes: about 50 min",
    ]


def test_the_gravest_signal_word_comes_first() -> None:
    block = show_check.cautions(KNOWLEDGE, ("heavy", "hot", "road"))[0]
    assert isinstance(block, Cautions)
    assert [item.signal for item in block.items] == ["DANGER", "WARNING", "CAUTION"]
    assert show_check.cautions(KNOWLEDGE, ()) == []
    assert show_check.cautions(KNOWLEDGE, ("gone",)) == []


QUIET: list[Event] = [
    *CLEAN,
    Answered("shaft", ("free",)),
    Answered("smoke", ("plume",)),
]


def test_a_loaded_run_names_its_abort_limit() -> None:
    text = offered(consult(Described("spring_kpa", 80.0), *QUIET), "run")
    # The spring and the margin of the policy: 80 kPa and 20 kPa.
    assert "Lift off at once at 100 kPa (14.5 psi) of boost" in text
    assert text.index("DANGER") < text.index("Takes")


def test_a_loaded_run_without_a_spring_says_to_find_it_first() -> None:
    text = offered(consult(Described("spring_kpa", None), *QUIET), "run")
    assert "WARNING: Find the spring's pressure before any run" in text
    assert "Lift off at once" not in text


def test_the_hoses_stand_beside_the_tracing_of_hoses() -> None:
    assert "turbo, nipple" in offered(consult(), "hose-trace", with_hoses=True)
    assert "turbo, nipple" not in offered(consult(), "hose-trace")


def test_how_to_do_it() -> None:
    text = shown(show_check.steps(KNOWLEDGE.checks["hose-trace"], several=True))
    assert "Follow each hose." in text
    assert "commas" in text
    assert "your reading" in shown(show_check.steps(KNOWLEDGE.checks["run"], several=False))
    assert "no more to it" in shown(show_check.steps(KNOWLEDGE.checks["flap"], several=False))
    asked = replace(KNOWLEDGE.checks["flap"], send=("A photo of the flap.",))
    assert "A photo of the flap." in shown(show_check.steps(asked, several=False))


def test_why_gives_every_answer_its_chance_and_its_effect() -> None:
    consultation = consult(*CLEAN)
    facts = [block for block in show_check.reasons(consultation, "lamp") if isinstance(block, Fact)]
    assert [fact.label for fact in facts] == ["dark", "ring"]
    assert "Ring left out falls from" in facts[0].text
    assert "Ring left out rises from" in facts[1].text
    chances = [int(fact.text.split("\N{NO-BREAK SPACE}")[0]) for fact in facts]
    assert sum(chances) == pytest.approx(100, abs=1)


def test_why_agrees_with_what_the_answer_then_does() -> None:
    before = consult(*CLEAN)
    after = consult(*CLEAN, Answered("lamp", ("ring",)))
    ring = show_check.reasons(before, "lamp")[-1]
    assert isinstance(ring, Fact)
    line = ring.text.replace("\N{NO-BREAK SPACE}", " ")
    promised = re.search(r"Ring left out rises from (\d+) % to (\d+) %", line)
    assert promised is not None
    found = (before.chance("ring-missing"), after.chance("ring-missing"))
    assert [int(text) for text in promised.groups()] == [round(100 * share) for share in found]


def test_history_is_no_evidence() -> None:
    assert "no evidence" in shown(show_check.reasons(consult(), "what-changed"))


def test_why_of_a_check_that_is_answered() -> None:
    consultation = consult(*CLEAN, Answered("lamp", ("ring",)))
    assert "answered already" in shown(show_check.reasons(consultation, "lamp"))
