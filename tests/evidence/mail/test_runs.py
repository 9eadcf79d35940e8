"""Checks on the road that a complaint answers: ``expert/evidence/mail/runs.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.figures import figures_of
from expert.evidence.mail.runs import DIRECT, LOWEST, Told, run_facts
from tests.evidence.mail.understanding import facts, sentences


@pytest.mark.parametrize(
    ("text", "fact"),
    [
        ("10 psi spring, zero duty, boost climbs with the revs", f"{LOWEST}=rising"),
        ("boost is stuck at the spring, with zero duty", f"{LOWEST}=about-spring"),
        ("22 psi at 0 % duty, spring is 14 psi", f"{LOWEST}=well-above"),
        ("spring is 14 psi, it makes 15 psi at 0 % duty", f"{LOWEST}=about-spring"),
        (
            "I left the solenoid out, one hose straight to the gate. Boost climbs with revs",
            f"{DIRECT}=rises",
        ),
    ],
)
def test_what_a_complaint_says_of_a_run(text: str, fact: str) -> None:
    assert fact in facts(text)


@pytest.mark.parametrize(
    "text",
    [
        "boost climbs with the revs",
        "turbo wont spool, duty 0 or 80 makes no difference",
        "the wastegate is fed straight from the turbo, boost climbs with the revs",
    ],
)
def test_without_such_a_run_there_is_no_such_fact(text: str) -> None:
    assert not {one for one in facts(text) if one.startswith((LOWEST, DIRECT))}


def test_a_complaint_some_sentences_on_is_of_the_same_run() -> None:
    told = sentences("Duty table at zero. One pull in third. Then a steady rise.")
    complaint = Told("creep", 2, "steady rise", 40, 51)
    (fact,) = run_facts(told, [complaint], figures_of(told), None, {})
    assert (fact.check, fact.answer, fact.quote) == (LOWEST, "rising", "steady rise")
