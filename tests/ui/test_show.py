"""Verdict, ranking and change in words."""

from __future__ import annotations

from expert.case.consult import Consultant, Consultation
from expert.case.events import Answered, Described, Event
from expert.case.safety import Verdict
from expert.case.state import fold
from expert.ui import show
from expert.ui.protocol import Banner, Bars
from tests.ui.script import plumbed, shown

KNOWLEDGE = plumbed()
CONSULTANT = Consultant(KNOWLEDGE)
LAZY: list[Event] = [
    Described("setup", "outer"),
    Described("symptom", "lazy"),
    Answered("red-flags", ("none",)),
    Answered("hose-trace", ("matches",)),
]


def consult(*events: Event) -> Consultation:
    return CONSULTANT.consult(fold([*LAZY, *events]))


RING = Answered("lamp", ("ring",))
DARK = Answered("lamp", ("dark",))


def test_the_banner_is_silent_when_all_is_well() -> None:
    assert show.banner(Verdict("ok", ())) == []
    stop = Verdict("stop", ("It knocks.",))
    assert show.banner(stop) == [
        Banner("stop", "Do not drive this car. Have it moved on a trailer.", ("It knocks.",))
    ]
    assert show.banner(stop, brief=True)[0] == Banner(
        "stop", "Do not drive this car. Have it moved on a trailer."
    )


def test_a_verdict_is_new_when_it_says_something_new_beside_its_numbers() -> None:
    last = Verdict("caution", ("Possible, 31 %: Ring left out.", "Possible, 22 %: Pipe off."))
    assert show.alike(Verdict("caution", ("Possible, 45 %: Ring left out.",)), last)
    assert not show.alike(Verdict("stop", ("Possible, 31 %: Ring left out.",)), last)
    assert not show.alike(Verdict("caution", ("Possible, 45 %: Hose off.",)), last)


def test_a_dangerous_complaint_is_said_at_once() -> None:
    assert shown(show.complaint_banner(KNOWLEDGE, "overboost")).strip().startswith("STOP: Do not")
    assert show.complaint_banner(KNOWLEDGE, "lazy") == []
    assert show.complaint_banner(KNOWLEDGE, None) == []


def test_the_ranking_is_that_of_the_consultation() -> None:
    consultation = consult()
    bars = next(block for block in show.ranking(consultation) if isinstance(block, Bars))
    shares = [bar.now for bar in bars.items[:-1]]
    assert shares == sorted(shares, reverse=True)
    first = KNOWLEDGE.causes[consultation.order[0]].title
    assert (bars.items[0].label, shares[0]) == (first, consultation.chance(consultation.order[0]))
    assert bars.items[-1].label == show.UNLISTED
    assert bars.items[-1].now == consultation.belief.unlisted


def test_the_ranking_names_two_faults_at_once() -> None:
    text = shown(show.ranking(consult(RING)))
    names, chance = consult(RING).pairs(1)[0]
    assert chance > 0.01
    assert "Both at once" in text
    assert " + ".join(KNOWLEDGE.causes[name].title for name in names) in text


def test_an_answer_that_settles_it() -> None:
    before, after = consult(), consult(RING)
    text = shown(show.change(before, after))
    spaced = text.replace("\N{NO-BREAK SPACE}", " ")
    now, was = (round(100 * item.chance("ring-missing")) for item in (after, before))
    assert f"in front: Ring left out, {now} %, up from {was} %." in spaced
    assert "Much less likely: Charge pipe off" in text
    bars = next(block for block in show.change(before, after) if isinstance(block, Bars))
    by_label = {bar.label: bar for bar in bars.items}
    ring = by_label["Ring left out"]
    assert ring.before is not None
    assert (ring.before, ring.now) == (before.chance("ring-missing"), after.chance("ring-missing"))
    assert ring.now > ring.before
    assert len(bars.items) == 5


def test_a_fallen_leader_is_still_in_the_bars() -> None:
    before, after = consult(RING), consult(DARK)
    bars = next(block for block in show.change(before, after) if isinstance(block, Bars))
    assert "Ring left out" in {bar.label for bar in bars.items}
    assert shown(show.change(before, after)).startswith("Now in front")


def test_an_answer_that_changes_nothing() -> None:
    text = shown(show.change(consult(), consult()))
    assert text.startswith("That changes little")
    assert "stays" in text
    assert len(text.splitlines()) == 1


def test_a_finding_that_does_not_fit_is_named_once() -> None:
    consultation = consult(RING, Answered("smoke", ("plume",)), Answered("run", ("above",)))
    assert consultation.doubtful
    text = shown(show.doubts(consultation, ()))
    doubt = consultation.doubtful[0]
    assert KNOWLEDGE.checks[doubt.check].answers[doubt.expected] in text
    known = [item.check for item in consultation.doubtful]
    assert show.doubts(consultation, known) == []


def test_findings_in_words() -> None:
    assert show.finding_words(KNOWLEDGE, "lamp", ("ring",)) == "lamp: A ring of light."
    assert show.finding_words(KNOWLEDGE, "lamp", ()) == "lamp: not known."
    assert show.finding_words(KNOWLEDGE, "red-flags", ("knock", "metal-noise")) == (
        "red-flags: A knock; A noise of metal."
    )
    assert show.finding_words(KNOWLEDGE, "symptom", ("lazy",)) == (
        "The complaint, Won't build boost."
    )
    # What newer or older knowledge does not hold is still shown, by its id.
    assert show.finding_words(KNOWLEDGE, "gone", ("this",)) == "gone: this."
