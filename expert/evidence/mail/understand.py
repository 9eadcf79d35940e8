"""From the text of a message to what it says of the car."""

from __future__ import annotations

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.mail.figures import Figure, figures_of, rpm_of
from expert.evidence.mail.lexicon import Lexicon, Meaning
from expert.evidence.mail.message import Mail
from expert.evidence.mail.phrases import Match
from expert.evidence.mail.sentences import Sentence, sentences_of
from expert.evidence.mail.setup import setup_of
from expert.evidence.mail.split import own_text, parts_of
from expert.evidence.mail.stance import REACH, Attitude, Stance, inquires
from expert.evidence.mail.trend import (
    AT_SPRING,
    OVER_KPA,
    UNDER_SPRING,
    against_target,
    along_revs,
    low_complaint,
)
from expert.evidence.mail.understood import Fact, Heard, MessageKind, Understanding
from expert.evidence.mail.words import NUMBER, tokens_of

# Stances in which a complaint or a danger still counts: better asked once too often.
_TAKEN: Final[frozenset[Stance]] = frozenset({"said", "guessed"})
_SAID: Final[frozenset[Stance]] = frozenset({"said"})
# What a car has is as true in a question or in the past of a fitting.
_MENTIONED: Final[frozenset[Stance]] = frozenset({"said", "guessed", "asked", "past", "supposed"})
_HISTORY: Final[frozenset[Stance]] = frozenset({"said", "past", "guessed"})
_ANSWERS_THAT_TELL: Final = 2
_BARE_OVER: Final = 1.15
_CODES: Final = "stored-codes"
# No gate opens so late that a boost below this is too much; used where no spring is told.
_LEAST_OVERBOOST_KPA: Final = 80.0
_IN_SUBJECT: Final = 2.0


@dataclass(frozen=True, slots=True)
class _Found:
    """A match with its stance and place; ``counts`` where a number other than rpm is in it."""

    heard: Heard
    words: int
    sentence: int
    first: int
    last: int
    counts: bool


@dataclass(frozen=True, slots=True)
class _Known:
    """The pressures of a message, gauge kPa.

    ``rested`` where the boost was seen with nothing but the spring at work.
    """

    boost_kpa: float | None
    target_kpa: float | None
    spring_kpa: float | None
    rested: bool


def understand(mail: Mail, lexicon: Lexicon) -> Understanding:
    """What a message says; every quote is exactly what stands in its text."""
    stretches = own_text(mail.text, parts_of(mail.text))
    found: list[_Found] = []
    sentences: list[Sentence] = []
    for start, text in stretches:
        tokens = tokens_of(text)
        for sentence in sentences_of(text, tokens, lexicon.phrases.vocabulary):
            found += _matches(sentence, len(sentences), text, start, lexicon, in_subject=False)
            sentences.append(_moved(sentence, start))
    subject = _without_marks(mail.subject)
    offset = len(mail.subject) - len(subject)
    for sentence in sentences_of(subject, tokens_of(subject), lexicon.phrases.vocabulary):
        found += _matches(sentence, len(sentences), subject, offset, lexicon, in_subject=True)
        sentences.append(sentence)
    inquiring: set[int] = set()
    for number, one in enumerate(sentences):
        if one.asked and (inquires(one) or number - 1 in inquiring):
            inquiring.add(number)
    return _summed(found, figures_of(sentences), inquiring, lexicon)


def _without_marks(subject: str) -> str:
    """A subject without Re: and Fwd:, which are no words of the customer."""
    rest = subject
    for _ in range(6):
        head, colon, tail = rest.partition(":")
        if not colon or head.strip().casefold() not in {"re", "fw", "fwd", "aw", "wg", "sv", "tr"}:
            break
        rest = tail.lstrip()
    # An answer repeats the subject of an earlier message.
    return "" if rest != subject and subject[:2].casefold() in {"re", "aw", "sv"} else rest


def _moved(sentence: Sentence, start: int) -> Sentence:
    if not start:
        return sentence
    tokens = tuple(
        replace(one, start=one.start + start, end=one.end + start) for one in sentence.tokens
    )
    return Sentence(tokens, sentence.items, sentence.asked)


def _matches(
    sentence: Sentence, number: int, text: str, start: int, lexicon: Lexicon, *, in_subject: bool
) -> list[_Found]:
    """What is found in a sentence whose tokens count from the beginning of ``text``."""
    matches = _longest(lexicon.phrases.found(sentence))
    if not matches:
        return []
    attitude = Attitude(sentence)
    found = []
    for match in matches:
        begin = sentence.tokens[sentence.items[match.first].first].start
        end = sentence.tokens[sentence.items[match.last].last].end
        heard = Heard(
            match.meaning,
            attitude.of(
                match.first,
                match.last,
                _spoken_for(match, matches),
                # No flutter before the new pipe: what is denied is the flutter.
                1 if match.meaning.id in lexicon.history else REACH,
            ),
            text[begin:end],
            begin + start,
            end + start,
            in_subject,
        )
        counts = any(
            item.stem == NUMBER and rpm_of(item) is None
            for item in sentence.items[match.first : match.last + 1]
        )
        found.append(_Found(heard, match.words, number, match.first, match.last, counts))
    return found


def _spoken_for(match: Match[Meaning], matches: Sequence[Match[Meaning]]) -> set[int]:
    """The words that cannot deny a match: those of its own meaning, and of phrases beside it.

    In *no boost and blue smoke* the smoke is not denied.
    """
    return {
        position
        for other in matches
        if other.meaning == match.meaning or other.last < match.first or match.last < other.first
        for position in range(other.first, other.last + 1)
    }


def _longest(matches: list[Match[Meaning]]) -> list[Match[Meaning]]:
    """Without the matches that lie inside a longer one of the same kind, and double ones."""
    kept: list[Match[Meaning]] = []
    for match in sorted(matches, key=lambda one: (-one.words, one.last - one.first, one.first)):
        if match.meaning.kind == "word":
            continue
        inside = any(
            other.first <= match.first
            and match.last <= other.last
            and _rival(other.meaning, match.meaning)
            and (other.words > match.words or other.meaning == match.meaning)
            for other in kept
        )
        if not inside:
            kept.append(match)
    words = [match for match in matches if match.meaning.kind == "word"]
    return sorted([*kept, *words], key=lambda one: (one.first, one.last))


def _rival(one: Meaning, other: Meaning) -> bool:
    """Does one phrase take the words of the other? Answers to different checks stand together."""
    if one.kind == "answer" and other.kind == "symptom":
        # An overboost code is a code.
        return one.id == _CODES
    return one.kind == other.kind and (one.kind != "answer" or one.id == other.id)


def _summed(
    found: Sequence[_Found],
    figures: list[Figure],
    inquiring: Container[int],
    lexicon: Lexicon,
) -> Understanding:
    heard = tuple(one.heard for one in found if one.heard.meaning.kind != "word")
    spring_kpa = _last_known(figures, "spring")
    target_kpa = _last_known(figures, "target")
    boosts = [one for one in figures if one.role == "boost"]
    boost_kpa = max((one.kpa for one in boosts if one.kpa is not None), default=None)
    resting = [one.kpa for one in boosts if one.resting and one.kpa is not None]
    symptoms = _symptoms(found, figures, _Known(boost_kpa, target_kpa, spring_kpa, bool(resting)))
    facts = _facts(found, lexicon)
    parts = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "part" and one.heard.stance in _MENTIONED
    }
    flagged = any((one.check, one.answer) in lexicon.dangerous for one in facts)
    kind = _kind(symptoms, flagged, found, figures, inquiring)
    worked = next((one.answer for one in facts if one.check == "what-changed"), None)
    setup, gate, bypass, setups = setup_of(parts, lexicon)
    if kind == "unrelated":
        return Understanding("unrelated", heard=heard, figures=tuple(figures), facts=())
    return Understanding(
        kind=kind,
        symptoms=symptoms,
        setup=setup,
        gate=gate,
        bypass=bypass,
        setups=setups,
        parts=tuple(sorted(parts)),
        recent_work=worked or _subject_history(found),
        spring_kpa=spring_kpa,
        boost_kpa=boost_kpa,
        target_kpa=target_kpa,
        resting_kpa=max(resting, default=None),
        pump_kpa=_last_known(figures, "pump"),
        facts=facts,
        unclear=tuple(one for one in figures if one.kpa is None),
        figures=tuple(figures),
        heard=heard,
    )


def facts_alone(mail: Mail, lexicon: Lexicon) -> tuple[Fact, ...]:
    """The facts of a message that is known to be about a car, such as a reply in its case."""
    found: list[_Found] = []
    number = 0
    for start, text in own_text(mail.text, parts_of(mail.text)):
        for sentence in sentences_of(text, tokens_of(text), lexicon.phrases.vocabulary):
            found += _matches(sentence, number, text, start, lexicon, in_subject=False)
            number += 1
    return _facts(found, lexicon)


def _last_known(figures: Iterable[Figure], role: str) -> float | None:
    return next((one.kpa for one in figures if one.role == role and one.kpa is not None), None)


def _subject_history(found: Iterable[_Found]) -> str | None:
    for one in found:
        meaning = one.heard.meaning
        if (meaning.kind, meaning.id) == ("answer", "what-changed") and one.heard.in_subject:
            return meaning.answer
    return None


def _symptoms(
    found: Sequence[_Found],
    figures: Sequence[Figure],
    known: _Known,
) -> tuple[str, ...]:
    """The complaints, the main one first: what most words say, then what is said first."""
    boost_kpa, target_kpa, spring_kpa = known.boost_kpa, known.target_kpa, known.spring_kpa
    weight: dict[str, float] = {}
    place: dict[str, tuple[int, int]] = {}

    def add(symptom: str, by: float, at: tuple[int, int]) -> None:
        weight[symptom] = weight.get(symptom, 0.0) + by
        place[symptom] = min(place.get(symptom, at), at)

    for one in found:
        if one.heard.meaning.kind != "symptom" or one.heard.stance not in _TAKEN:
            continue
        symptom = _judged(one, found, figures, spring_kpa)
        if symptom is None:
            continue
        by = min(one.words, 4) * (_IN_SUBJECT if one.heard.in_subject else 1.0)
        add(symptom, by, (one.sentence, one.first))
    trend = along_revs(figures)
    if trend is not None:
        add(trend[0], 3.0, trend[1].at)
    boosts = [one for one in figures if one.role == "boost" and one.kpa is not None]
    if boost_kpa is not None and boosts:
        if target_kpa is not None and not weight.keys() & {"spike", "creep", "overboost"}:
            complaint = against_target(boost_kpa, target_kpa, spring_kpa)
            if complaint is not None and (not weight or complaint == "overboost"):
                add(complaint, 2.0, boosts[0].at)
        if not weight and spring_kpa is not None and boost_kpa <= AT_SPRING[1] * spring_kpa:
            add(low_complaint(boost_kpa, spring_kpa), 2.0, boosts[0].at)
        if known.rested and spring_kpa is not None and boost_kpa >= spring_kpa + 20.0:
            add("overboost", 3.0, boosts[0].at)
    if not weight and boost_kpa is None:
        complaint = _bare_complaint(figures)
        if complaint is not None:
            add(complaint, 2.0, (0, 0))
    return tuple(sorted(weight, key=lambda name: (-weight[name], place[name])))


def _judged(
    one: _Found, found: Sequence[_Found], figures: Sequence[Figure], spring_kpa: float | None
) -> str | None:
    """The complaint that a phrase makes, judged by the figure in it; None where it makes none."""
    symptom = one.heard.meaning.id
    inside = [
        figure
        for figure in figures
        if figure.at[0] == one.sentence and one.first <= figure.at[1] <= one.last
    ]
    if symptom in {"lazy", "spring-ceiling"} and one.counts:
        if not inside:
            # Only 1 inch wide is no boost.
            return None
        if inside[0].kpa is not None:
            return low_complaint(inside[0].kpa, spring_kpa)
    if symptom == "overboost" and _spares(one, inside, found, spring_kpa):
        return None
    return symptom


def _bare_complaint(figures: Sequence[Figure]) -> str | None:
    """The complaint of a number without unit against another: 20 instead of 14."""
    boosts = [one.value for one in figures if one.role == "boost" and one.unit is None]
    targets = [one.value for one in figures if one.role == "target" and one.unit is None]
    if not boosts or not targets:
        return None
    if max(boosts) >= _BARE_OVER * targets[0]:
        return "overboost"
    return "lazy" if max(boosts) <= UNDER_SPRING * targets[0] else None


def _spares(
    one: _Found, inside: Sequence[Figure], found: Sequence[_Found], spring_kpa: float | None
) -> bool:
    """Is a phrase of too much boost no overboost: a small number, or a spike past its target?"""
    kpa = inside[0].kpa if inside else None
    least = _LEAST_OVERBOOST_KPA if spring_kpa is None else spring_kpa + OVER_KPA
    if kpa is not None and kpa < least and "over" not in one.heard.quote.lower():
        return True
    spiked = any(
        other.sentence == one.sentence
        and other.heard.meaning.id == "spike"
        and other.heard.stance in _TAKEN
        for other in found
    )
    return spiked and "target" in one.heard.quote.lower()


def _facts(found: Iterable[_Found], lexicon: Lexicon) -> tuple[Fact, ...]:
    """Answers that are said, one to a check unless it takes several: the one in most words."""
    best: dict[tuple[str, str], tuple[int, int, Fact]] = {}
    for order, one in enumerate(found):
        meaning = one.heard.meaning
        if meaning.kind != "answer" or one.heard.in_subject:
            continue
        allowed = _SAID
        if meaning.id in lexicon.history:
            allowed = _HISTORY
        elif (meaning.id, meaning.answer) in lexicon.dangerous:
            allowed = _TAKEN
        if one.heard.stance not in allowed:
            continue
        heard = one.heard
        fact = Fact(meaning.id, meaning.answer, heard.quote, heard.start, heard.end)
        key = (meaning.id, meaning.answer if meaning.id in lexicon.several else "")
        rank = (one.words, -order if meaning.id in lexicon.several else order)
        if key not in best or rank > best[key][:2]:
            best[key] = (*rank, fact)
    return tuple(sorted((entry[2] for entry in best.values()), key=lambda one: one.start))


def _kind(
    symptoms: Sequence[str],
    flagged: bool,
    found: Sequence[_Found],
    figures: Sequence[Figure],
    inquiring: Container[int],
) -> MessageKind:
    """Is it about the trouble of a car with boost, and is it said what the trouble is?

    Words that others use as well (hunting, fades) count only beside words of the trade;
    ``inquiring`` are the sentences that only ask: what spring for 18 psi?
    """
    topics = {one.heard.meaning.id for one in found if one.heard.meaning.kind == "word"}
    parts = any(one.heard.meaning.kind == "part" for one in found)
    answers = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "answer" and one.heard.stance in _HISTORY
    }
    trade = parts or "trade" in topics or any(one.unit is not None for one in figures)
    car = trade or "car" in topics
    if (symptoms or flagged) and (car or figures or len(answers) >= _ANSWERS_THAT_TELL):
        return "complaint"
    if "business" in topics:
        return "unrelated"
    if symptoms and answers:
        return "complaint"
    told = answers - {"what-changed", "worked-on", "when-worst"}
    if ("trouble" in topics or told) and trade:
        return "vague"
    if told and ("trouble" in topics or len(told) >= _ANSWERS_THAT_TELL):
        return "vague"
    told_figures = [one for one in figures if one.unit is not None and one.at[0] not in inquiring]
    return "vague" if told_figures else "unrelated"
