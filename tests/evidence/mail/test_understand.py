"""From text to facts: ``expert/evidence/mail/understand.py``."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.mail.understand import facts_alone
from tests.evidence.mail.understanding import facts, lexicon, mail, told

WORDS = [
    *(
        "boost",
        "turbo",
        "wont",
        "build",
        "no",
        "gate",
        "spring",
        "psi",
        "7",
        "22",
        "bar",
        "at",
        "0",
    ),
    *("duty", "creeps", "spike", "then", "settles", "solenoid", "clicks", "not", "my", "mate"),
    *("says", "if", "?", ".", ",", "\n", ">", "--", "fitted", "new", "knock", "petrol", "smell"),
    *("hose", "off", "before", "was"),
]


@pytest.mark.parametrize(
    ("text", "symptoms"),
    [
        ("turbo wont spool at all", ("lazy",)),
        ("overboosts, 22 psi on a 10 psi spring", ("overboost",)),
        ("boost stuck at 7 psi. flutter on lift off too", ("spring-ceiling", "flutter")),
        ("boost is fine, no creep, no flutter", ()),
        ("12 psi instead of 18 psi", ("spring-ceiling",)),
        ("gate fitted, boost is 20 instead of 14", ("overboost",)),
        ("22 psi instead of 15 psi", ("overboost",)),
    ],
)
def test_complaints_the_main_one_first(text: str, symptoms: tuple[str, ...]) -> None:
    assert told(text).symptoms == symptoms


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("boost is wrong pls help", "vague"),
        ("it overboosts", "complaint"),
        ("the turbo smells of petrol", "complaint"),
        ("invoice attached, payment due", "unrelated"),
        ("a hunting trip with a spike and some creep", "unrelated"),
        ("", "unrelated"),
    ],
)
def test_kinds(text: str, kind: str) -> None:
    assert told(text).kind == kind


def test_facts_are_said_and_not_asked_denied_or_told_by_others() -> None:
    lead = "the turbo makes no boost. "
    assert "solenoid-click=crisp" in facts(lead + "solenoid clicks fine")
    for other in ("does the solenoid click?", "a mate says the solenoid clicks", "solenoid: none"):
        assert "solenoid-click=crisp" not in facts(lead + other)
    assert "solenoid-click=silent" in facts(lead + "the solenoid does not click")
    assert "red-flags=knock" in facts(lead + "maybe I heard knocking")
    assert "red-flags=knock" not in facts(lead + "no knocking")


def test_quoted_words_are_not_the_customers() -> None:
    text = "no boost on the turbo\n\n> does the solenoid click fine?\n> gate hose off"
    assert facts(text) == set()


def test_the_subject_tells_the_complaint_but_no_facts() -> None:
    understanding = told("see subject, the turbo is new", "it overboosts, solenoid clicks fine")
    assert understanding.symptoms == ("overboost",)
    assert all(one.check != "solenoid-click" for one in understanding.facts)
    assert told("thanks, the turbo is in", "Re: it overboosts").symptoms == ()


def test_nothing_is_a_fact_in_unrelated_mail() -> None:
    understanding = told("the dishwasher knocks and the hose came off, invoice please")
    assert (understanding.kind, understanding.facts) == ("unrelated", ())


def test_facts_of_a_reply_need_no_complaint() -> None:
    (fact,) = facts_alone(mail("yes it clicks"), lexicon())
    assert (fact.check, fact.answer, fact.quote) == ("solenoid-click", "crisp", "yes it clicks")


@settings(max_examples=150)
@given(st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join) | st.text(max_size=200))
def test_every_quote_is_exactly_what_stands_there(text: str) -> None:
    understanding = told(text)
    for one in (*understanding.facts, *(h for h in understanding.heard if not h.in_subject)):
        assert text[one.start : one.end] == one.quote
        assert one.quote
    checks = [one.check for one in understanding.facts if one.check not in lexicon().several]
    assert len(checks) == len(set(checks))
    if understanding.kind == "unrelated":
        assert not understanding.facts
