"""Phrases and sentences together, on the shipped knowledge."""

from __future__ import annotations

from functools import cache

from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.understand import facts_alone, understand
from expert.evidence.mail.understood import Understanding
from expert.loading.folder import load, shipped_folder
from expert.mail_heard import kin_of
from tests.evidence.mail import understanding
from tests.evidence.mail.understanding import mail


@cache
def lexicon() -> Lexicon:
    knowledge = load([shipped_folder()])
    return Lexicon(knowledge, kin_of([shipped_folder()], knowledge))


def told(text: str, subject: str = "") -> Understanding:
    return understand(mail(text, subject), lexicon())


def answers(found: Understanding) -> set[str]:
    return {f"{one.check}={one.answer}" for one in found.facts}


# No phrase of the knowledge is in these words.
UNHEARD_OF = "Dead as a doornail until four thousand, then it finally wakes up a little."


def test_a_complaint_without_a_phrase_is_understood() -> None:
    assert understanding.told(UNHEARD_OF).symptoms == ()
    found = told(UNHEARD_OF)
    assert (found.kind, found.symptoms) == ("complaint", ("lazy",))
    (heard,) = [one for one in found.heard if one.meaning.kind == "symptom"]
    assert UNHEARD_OF[heard.start : heard.end] == heard.quote


def test_every_complaint_that_counts_has_words_that_tell_it() -> None:
    for text in (
        UNHEARD_OF,
        "The needle dances up and down.",
        "It goes well, then fades away up top.",
    ):
        found = told(text)
        named = {one.meaning.id for one in found.heard if one.stance in {"said", "guessed"}}
        assert found.symptoms
        assert set(found.symptoms) <= named


def test_an_answer_without_a_phrase_is_quoted_from_its_sentence() -> None:
    text = (
        "Boost creeps up with the revs. I held the boost valve in my hand while my son switched "
        "it, and there was no tick at all from the solenoid. Regards"
    )
    found = told(text)
    assert "solenoid-click=silent" in answers(found)
    for one in found.facts:
        assert text[one.start : one.end] == one.quote


def test_a_phrase_in_a_sentence_about_something_else_is_outweighed() -> None:
    text = "It chatters when I lift off. Does the course on hunting and overboost include lunch?"
    found = told(text)
    assert found.symptoms == ("flutter",)
    assert {one.stance for one in found.heard if one.meaning.id == "hunting"} <= {
        "asked",
        "outweighed",
    }


def test_words_of_danger_that_are_not_taken_so_are_to_be_read() -> None:
    text = "Boost comes late. Is it knock that I should listen for?"
    found = told(text)
    assert not [one for one in found.facts if one.check == "red-flags"]
    (alarm,) = found.alarming
    assert (alarm.meaning.id, alarm.meaning.answer, alarm.stance) == ("red-flags", "knock", "asked")
    assert text[alarm.start : alarm.end] == alarm.quote
    assert told("Boost comes late, nothing else is wrong with it.").alarming == ()


def test_work_that_is_told_with_its_day_is_work_just_done() -> None:
    found = answers(told("It overboosts since I fitted the new downpipe on Saturday."))
    assert {"what-changed=just-fitted", "worked-on=exhaust"} <= found


def test_the_facts_of_a_reply_need_no_complaint() -> None:
    found = facts_alone(mail("The solenoid clicks fine, and no codes are stored."), lexicon())
    assert {f"{one.check}={one.answer}" for one in found} == {
        "solenoid-click=crisp",
        "stored-codes=none",
    }


def test_thanks_and_orders_stay_unrelated() -> None:
    found = told("Please send me the invoice for the boost gauge that I ordered.")
    assert (found.kind, found.symptoms, found.facts) == ("unrelated", (), ())


def test_very_many_sentences_are_judged_like_a_few() -> None:
    found = told("The car makes no boost at all. " * 900)
    assert (found.kind, found.symptoms) == ("complaint", ("lazy",))
