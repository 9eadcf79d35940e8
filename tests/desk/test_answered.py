"""Answers to the questions of our own letter: ``expert/desk/answered.py``."""

from __future__ import annotations

from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.case.state import fold
from expert.desk.answer import letter_of
from expert.desk.answered import answer_in, replies, with_answers
from expert.desk.threads import Threads
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.understood import Understanding
from expert.export.reply import Shop, draft
from expert.loading.folder import shipped_folder
from expert.mail_heard import kin_of
from tests.desk.mails import desk, knowledge, read, threads
from tests.evidence.mail.understanding import mail

FIRST = "the turbo makes no boost. external gate"


def letter(taking: Threads) -> str:
    """Our own letter to a first message."""
    taken = taking.take(read(FIRST, 1, id="a"))
    found = desk().triage(taken.message, taken.events, taken.case)
    return draft(letter_of(found, knowledge(), Shop()), knowledge())


def quoted(text: str) -> str:
    return "".join(f"> {line}".rstrip() + "\n" for line in text.split("\n"))


def under(page: str, question: str, answer: str) -> str:
    """A reply that quotes a letter and has an answer under one of its questions."""
    lines = page.split("\n")
    first = next(k for k, line in enumerate(lines) if question in line)
    last = next(
        k for k in range(first, len(lines)) if not lines[k].startswith(("   ", "\t")) and k > first
    )
    return f"{quoted(chr(10).join(lines[:last]))}\n{answer}\n\n{quoted(chr(10).join(lines[last:]))}"


def test_a_number_under_the_question_for_the_spring_is_the_spring() -> None:
    taking = threads()
    page = letter(taking)
    assert "Which spring is in the gate" in page
    taken = taking.take(read(under(page, "Which spring", "7 psi"), 2, id="b", answers="a"))
    assert fold(taken.events).spring_kpa == pytest.approx(48.26, abs=0.1)
    assert taken.news


def test_numbers_lead_to_the_questions_quoted_below() -> None:
    taking = threads()
    page = letter(taking)
    assert "1. Is the wastegate built in" in " ".join(page.split())
    own = "Hi,\n\n1. separate one, 3 port solenoid\n2. 0.7 bar\n\nOn Monday the desk wrote:\n"
    text = f"{own}{quoted(page)}"
    state = fold(taking.take(read(text, 2, id="b", answers="a")).events)
    assert state.setup == "external-single"
    assert state.spring_kpa == pytest.approx(70.0)


def test_none_under_the_red_flags_is_an_answer_with_its_quote() -> None:
    taking = threads()
    head, _, rest = letter(taking).partition("tell us first.\n")
    text = f"{quoted(head + 'tell us first.')}\nNone of these\n\n{quoted(rest)}"
    taken = taking.take(read(text, 2, id="b", answers="a"))
    assert fold(taken.events).answers("red-flags") == ("none",)
    mail = taken.message.mail
    assert mail is not None
    (fact,) = [one for one in taken.message.understanding.facts if one.check == "red-flags"]
    assert mail.text[fact.start : fact.end] == fact.quote == "None of these"


def test_an_answer_under_the_whole_letter_is_to_no_question() -> None:
    taking = threads()
    page = letter(taking)
    taken = taking.take(read(f"{quoted(page)}\nno\n", 2, id="b", answers="a"))
    assert taken.news == ()


def test_an_answer_above_the_letter_is_to_no_question_of_it() -> None:
    taking = threads()
    page = letter(taking)
    taken = taking.take(read(f"none\n\n{quoted(page)}", 2, id="b", answers="a"))
    assert fold(taken.events).answers("red-flags") == ()


@pytest.mark.parametrize(
    ("check", "words", "answer"),
    [
        ("red-flags", "No", "none"),
        ("red-flags", "none of these!", "none"),
        ("red-flags", "yes", None),
        ("correction-on", "no", "table-only"),
        ("correction-on", "Yes.", "corrects"),
        ("correction-on", "none", None),
        ("duty-commanded", "0 % in the table, over the whole full-throttle range", "zero"),
        ("duty-commanded", "more than about 15 %", "well-above-zero"),
        ("duty-commanded", "no", None),
        ("duty-commanded", "more", None),
        ("rod-clip", "clip missing", "missing"),
        ("rod-clip", "", None),
    ],
)
def test_words_of_the_list_and_a_bare_no_are_answers(
    check: str, words: str, answer: str | None
) -> None:
    assert answer_in(words, knowledge().checks[check]) == answer


LINES = st.lists(
    st.sampled_from(
        ["> Which spring is in the gate, in psi, bar or kPa?", "> 1. x", "1. 7 psi", "", "no", ">",
         "> 2. Which spring is in the gate, in psi, bar or kPa?", "2) none", "On 3 May, R wrote:"]
    )
    | st.text(max_size=20),
    max_size=14,
)  # fmt: skip


@given(LINES)
def test_every_answer_stands_in_the_text(lines: list[str]) -> None:
    text = "\n".join(lines)
    for one in replies(text, knowledge()):
        assert 0 <= one.start < one.end <= len(text)
        assert not text[one.start : one.end].startswith(">")
        assert text[one.start : one.end].strip() == text[one.start : one.end]


@pytest.mark.parametrize(
    "piece",
    ["> x\n\ny\n", "> 1. 1. 1. 1. ", "1. x\n> 1. Which\n", "> Which spring is in the gate, "],
)
def test_a_long_reply_takes_no_long_time(piece: str) -> None:
    text = (piece * (128 * 1024 // len(piece)))[: 128 * 1024]
    begun = process_time()
    list(replies(text, knowledge()))
    assert process_time() - begun < 2.0


def test_an_answer_in_words_of_their_own_is_told_by_sentences_like_it() -> None:
    kin = kin_of([shipped_folder()], knowledge())
    told = Understanding("vague")
    ask = knowledge().checks["solenoid-click"].ask
    for words, answer in (
        ("yes you can hear it tick tick", ["crisp"]),
        ("nothing at all from it", ["silent"]),
        ("what do you mean by that?", []),
    ):
        page = f"On Monday the desk wrote:\n> {ask}\n\n{words}\n"
        found = with_answers(told, mail(page), knowledge(), Lexicon(knowledge(), kin))
        assert [one.answer for one in found.facts if one.check == "solenoid-click"] == answer
        assert all(page[one.start : one.end] == one.quote for one in found.facts)
