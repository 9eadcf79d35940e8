"""Answers to the questions of our own letter, quoted or numbered, that say nothing without them.

*7 psi* is the spring where it stands under the question for the spring, *none* means no red flag
under the question for them, and the words of a list of answers are the answer. What a reply says
in whole sentences is understood without this.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from expert.desk.triage import GATE_QUESTION, SETUP_QUESTION, SPRING_QUESTION
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import Mail
from expert.evidence.mail.split import parts_of
from expert.evidence.mail.understand import understand
from expert.evidence.mail.understood import Fact, Understanding
from expert.evidence.mail.words import tokens_of
from expert.model import Check, Knowledge
from expert.units import ReadingError, parse_kpa

SPRING: Final = "spring"
CAR: Final = "car"
_MARKS: Final = re.compile(r"^[>|\s\uff1e]{1,20}")
_NUMBERED: Final = re.compile(r"[ \t]{0,8}(\d)[.):][ \t]{1,8}(\S[^\n]{0,300})")
_LISTED: Final = re.compile(r"(?:^| )(\d)\. ")
_PRESSURE: Final = re.compile(r"\d{1,4}(?:[.,]\d{1,3})?\s{0,2}[A-Za-z]{1,4}")
_NEGATIONS: Final = frozenset({"no", "none", "nope", "nothing", "neither", "not really"})
_ALL: Final = frozenset({"none of these", "none of them", "none of those", "no none"})
_GATE_WORDS: Final = {"separate": "external wastegate", "built": "internal wastegate"}
# Parts count where a message is about a car that is not well.
_ABOUT: Final = "The turbo makes no boost"
_LONGEST_ANSWER: Final = 300
_LEAST_WORDS: Final = 2
# Of the answers of the check that was asked, and of words that answer nothing.
_LIKE_ENOUGH: Final = 0.6
# Our letters are far below both.
_MOST_PARTS: Final = 200
_LONGEST_PARAGRAPH: Final = 3_000


@dataclass(frozen=True, slots=True)
class Reply:
    """What stands under a question: the question's id, and where the answer is in the text."""

    question: str
    start: int
    end: int


def with_answers(
    told: Understanding, mail: Mail, knowledge: Knowledge, lexicon: Lexicon
) -> Understanding:
    """What a reply says, with the answers to questions that it quotes or counts."""
    facts = list(told.facts)
    known = {one.check for one in facts}
    for reply in replies(mail.text, knowledge):
        words = mail.text[reply.start : reply.end]
        if reply.question == SPRING:
            kpa = _pressure(words)
            if told.spring_kpa is None and kpa is not None:
                told = replace(told, spring_kpa=kpa)
        elif reply.question == CAR:
            car = understand(replace(mail, text=_of_car(words), subject=""), lexicon)
            told = replace(
                told,
                setup=told.setup or car.setup,
                gate=told.gate or car.gate,
                parts=tuple(dict.fromkeys([*told.parts, *car.parts])),
            )
        elif reply.question not in known:
            answer = answer_in(words, knowledge.checks[reply.question])
            answer = answer or _alike(words, reply.question, lexicon)
            if answer is not None:
                facts.append(Fact(reply.question, answer, words, reply.start, reply.end))
                known.add(reply.question)
    return replace(told, facts=tuple(sorted(facts, key=lambda one: one.start)))


def _of_car(words: str) -> str:
    """An answer about the car as a message of its own, the gate named as the question names it."""
    said = _plain(words)
    gates = [gate for word, gate in _GATE_WORDS.items() if word in said.split()]
    return ". ".join([_ABOUT, words, *gates])


def replies(text: str, knowledge: Knowledge) -> Iterator[Reply]:
    """The answers under quoted questions, and those with the number of a quoted question."""
    questions = _questions(knowledge)
    counted: dict[str, str] = {}
    parts = parts_of(text)[:_MOST_PARTS]
    for part in parts:
        if part.kind == "quoted":
            for paragraph in _paragraphs(text[part.start : part.end]):
                counted.update(_counted(paragraph, questions))
    asked = ""
    for part in parts:
        stretch = text[part.start : part.end]
        if part.kind == "quoted":
            paragraphs = _paragraphs(stretch)
            asked = _last_asked(paragraphs[-1], questions) if paragraphs else ""
            continue
        if part.kind != "own":
            continue
        numbered = list(_NUMBERED.finditer(stretch))
        for found in numbered:
            if found[1] in counted:
                yield _reply(counted[found[1]], text, part.start + found.start(2), found[2])
        first = stretch.lstrip().split("\n\n", 1)[0].rstrip()
        if asked and first and not numbered and len(first) <= _LONGEST_ANSWER:
            yield _reply(asked, text, part.start + stretch.index(first), first)
        if stretch.strip():
            asked = ""


def _reply(question: str, text: str, start: int, words: str) -> Reply:
    return Reply(question, start, start + len(words.rstrip()))


def _questions(knowledge: Knowledge) -> Mapping[str, str]:
    """Every question that a letter may ask, on one line, with what it is about."""
    asked = {check.ask: name for name, check in knowledge.checks.items()}
    # In a letter a check goes on in the middle of a sentence.
    asked |= {ask[:1].lower() + ask[1:]: name for ask, name in asked.items()}
    return {**asked, SPRING_QUESTION: SPRING, SETUP_QUESTION: CAR, GATE_QUESTION: CAR}


def _paragraphs(quoted: str) -> list[str]:
    """The paragraphs of a quoted stretch, each on one line without its marks."""
    paragraphs: list[list[str]] = [[]]
    for line in quoted.split("\n"):
        words = _MARKS.sub("", line).strip()
        if words:
            paragraphs[-1].append(words)
        elif paragraphs[-1]:
            paragraphs.append([])
    return [" ".join(lines)[:_LONGEST_PARAGRAPH] for lines in paragraphs[:_MOST_PARTS] if lines]


def _last_asked(paragraph: str, questions: Mapping[str, str]) -> str:
    """What the last question of a paragraph is about."""
    found = max(((paragraph.rfind(ask), ask) for ask in questions), default=(-1, ""))
    return questions[found[1]] if found[0] >= 0 else ""


def _counted(paragraph: str, questions: Mapping[str, str]) -> dict[str, str]:
    """The numbered questions of a paragraph."""
    found = {}
    for number in _LISTED.finditer(paragraph):
        ask = next((ask for ask in questions if paragraph.startswith(ask, number.end())), None)
        if ask is not None:
            found[number[1]] = questions[ask]
    return found


def _pressure(words: str) -> float | None:
    """The one pressure with a unit in some words."""
    found = _PRESSURE.findall(words)
    if len(found) != 1:
        return None
    try:
        return parse_kpa(found[0])
    except ReadingError:
        return None


def answer_in(words: str, check: Check) -> str | None:
    """The answer of a check that some words give: its own words, or a bare yes or no."""
    said = _plain(words)
    texts = {name: _plain(text) for name, text in check.answers.items()}
    same = [name for name, text in texts.items() if said == text]
    if not same and len(said.split()) >= _LEAST_WORDS:
        same = [name for name, text in texts.items() if text.startswith(said)]
    if len(same) == 1:
        return same[0]
    if said in _ALL or said in _NEGATIONS:
        flags = check.kind == "nominal" and texts.get(check.sound_answer(), "").startswith("none")
        return check.sound_answer() if flags else _only(texts, "no") if said == "no" else None
    return _only(texts, "yes") if said in {"yes", "yep", "yeah"} else None


def _alike(words: str, check: str, lexicon: Lexicon) -> str | None:
    """The answer of a check that some words of a customer are like."""
    tokens = tokens_of(words)
    if lexicon.kin is None or sum(one.is_word for one in tokens) < _LEAST_WORDS:
        return None
    found = lexicon.kin.answer_to(check, tokens)
    return found[0] if found is not None and found[1] >= _LIKE_ENOUGH else None


def _only(texts: Mapping[str, str], word: str) -> str | None:
    """The one answer that begins with this word."""
    found = [name for name, text in texts.items() if text.split(" ", 1)[0] == word]
    return found[0] if len(found) == 1 else None


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\w%]+", " ", text.casefold()).split())
