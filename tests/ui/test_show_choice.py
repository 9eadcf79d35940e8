"""Other checks to choose from, and what an answer would change."""

from __future__ import annotations

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.state import fold
from expert.ui.show_choice import other_checks, what_if, worth
from tests.small import knowledge
from tests.ui.script import shown


def consulted(*events: Event) -> Consultation:
    said = [Described("setup", "outer"), Described("symptom", "lazy"), *events]
    return Consultant(knowledge()).consult(fold(said))


FLAGS = Answered("red-flags", ("none",))


def test_other_checks_come_with_minutes_and_worth_and_without_the_one_asked() -> None:
    consultation = consulted(FLAGS)
    text = shown(other_checks(consultation, "lamp"))
    rows = [line.split() for line in text.splitlines() if line.startswith("  ")]
    names = [row[0] for row in rows if row[0] in consultation.open_checks]
    assert "lamp" not in names
    assert "run" not in names
    best = [offer.id for offer in consultation.offers if offer.id != "lamp"]
    assert names == best[: len(names)]
    assert "held back" in text
    assert "Every hose must be traced" in text


def test_nothing_left_is_said() -> None:
    asked = [Answered(name, ()) for name in knowledge().checks]
    assert "no other check" in shown(other_checks(consulted(*asked), None))


def test_worth_in_words() -> None:
    assert worth(-3.0) == "not its minutes"
    assert worth(0.4) == "just its minutes"
    assert worth(25.0) == "saves 25\N{NO-BREAK SPACE}min"


def test_what_if_shows_both_rankings_and_the_next_step() -> None:
    changed = Answered("what-changed", ("just-fitted",))
    before = consulted(FLAGS, changed)
    after = consulted(FLAGS, changed, Answered("lamp", ("ring",)))
    text = shown(what_if(before, after, "lamp: A ring of light."))
    assert "If it were so: lamp: A ring of light." in text
    assert "Ring left out" in text
    assert "Next: make sure of this" in text
    assert "Nothing of this was kept." in text


def test_what_if_names_a_change_of_verdict() -> None:
    before = consulted(FLAGS)
    after = consulted(FLAGS, Answered("run", ("above",)))
    assert "The drive verdict would be stop." in shown(what_if(before, after, "run: Far more."))
