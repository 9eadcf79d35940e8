"""From the text of a message to what it says of the car."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.mail.agreement import Agreement
from expert.evidence.mail.figures import Figure, figures_of, rpm_of
from expert.evidence.mail.lexicon import Lexicon, Meaning
from expert.evidence.mail.message import Mail
from expert.evidence.mail.phrases import Match
from expert.evidence.mail.resemblance import Resemblance, stretches_of
from expert.evidence.mail.runs import DIRECT, LOWEST, Told, run_facts
from expert.evidence.mail.sentences import Sentence, sentences_of
from expert.evidence.mail.setup import setup_of
from expert.evidence.mail.signs import Message
from expert.evidence.mail.split import own_text, parts_of
from expert.evidence.mail.stance import (
    HISTORY,
    REACH,
    TAKEN,
    Attitude,
    Stance,
    inquires,
    of_other_car,
)
from expert.evidence.mail.trend import (
    AT_SPRING,
    LEAST_SPRING_KPA,
    OVER_KPA,
    UNDER_SPRING,
    against_target,
    along_revs,
    low_complaint,
)
from expert.evidence.mail.understood import Fact, Heard, MessageKind, Understanding
from expert.evidence.mail.words import NUMBER, Token, stem, tokens_of, wordset
from expert.units import KPA_PER


def _stems(words: str) -> frozenset[str]:
    return frozenset(map(stem, wordset(words)))


_RED_FLAGS: Final = "red-flags"
_SAID: Final[frozenset[Stance]] = frozenset({"said"})
# What a car has is as true in a question or in the past of a fitting.
_MENTIONED: Final[frozenset[Stance]] = frozenset({"said", "guessed", "asked", "past", "supposed"})
_ANSWERS_THAT_TELL: Final = 2
_BARE_OVER: Final = 1.15
# Checks whose answers say how the car behaves, so that their words are complaints as well.
_OF_BEHAVIOUR: Final = frozenset(
    {"flutter-when", "duty-steps", "throttle-log", "when-worst", "setting-steps", "zero-duty-log"}
)
# What boost is the first word of: a boost leak is no boost.
_NAMED_BY_BOOST: Final = _stems(
    "leak gauge hose pipe line controller control solenoid sensor valve test tap map "
    "table signal source problem issue fault trouble error related request setting"
)
# Of these another pressure is told: that of the oil, of a tyre, of a test.
_OF_PRESSURE: Final = _stems(
    "oil fuel petrol tyre tire water coolant brake rail cylinder exhaust back spring "
    "wastegate gate "
    "actuator base hold let take lose air blood pump hand high under test work"
)
# Of these it is said that they come off, are slow to move, or leak.
_THINGS: Final = _stems(
    "actuator gate wastegate valve pump hose pipe line coupler clamp clip cap bolt nut "
    "rod arm lever plug connector nipple "
    "bung diaphragm gasket window door bumper trim key website page order parcel delivery "
    "phone solenoid nobody reply answer"
)
_WORK: Final = _stems(
    "fitted installed changed replaced swapped upgraded moved relocated redid capped "
    "removed took put updated flashed remapped retuned"
)
# A spike is over in a moment.
_LONG: Final = wordset("two three four five several few couple minute minutes while")
# What a customer says of the complaint that matters to him.
_GEARS: Final = frozenset({2.0, 3.0, 4.0, 5.0, 6.0})
_EMPHASIS: Final = wordset("worse main mainly important bothers bothering biggest worrying")
_STRESS: Final = 2.0
# Checks whose answers say that something is off, and the words of one who took it off.
_OFF_BY_HAND: Final = frozenset({"hose-trace", "rod-clip", "solenoid-supply", "hose-condition"})
_BY_HAND: Final = wordset(
    "pulled pull pulling took take taking removed remove removing undid undo slid slipped "
    "disconnected disconnect unplugged unplug put"
)
# The hose that feeds the gate comes off the turbo: there it begins.
_BEGINS: Final = wordset("comes coming feeding feeds")
_NEAR_HAND: Final = 4
_MOVING: Final = frozenset({"creep", "spike", "falls-off", "hunting"})
_MOVES_LIKE_A_THING: Final = frozenset({"falls-off", "hunting", "lazy", "spring-ceiling"})
_OF_BOOST: Final = frozenset(
    {"boost", "turbo", "needl", "pressur", "gaug", "power", "engin", "car"}
)
# No gate opens so late that a boost below this is too much; used where no spring is told.
_LEAST_OVERBOOST_KPA: Final = 80.0
_IN_SUBJECT: Final = 2.0
# So far over the spring, with nothing else at work, is too much boost.
_FAR_OVER_SPRING_KPA: Final = 20.0
# Where no spring is told: only 0.5 bar is little, stuck at 0.5 bar may be the spring.
_LOW_KPA: Final = {"lazy": 51.0, "spring-ceiling": LEAST_SPRING_KPA}


@dataclass(frozen=True, slots=True)
class _Found:
    """A match with its stance and place.

    ``counts`` where a number other than rpm is in it, ``of_revs`` where only such are; ``about``
    where its words are not said of
    something else, or of what the customer has done: a boost leak, a hose that falls off or that I
    pulled off.
    """

    heard: Heard
    words: int
    weight: int
    sentence: int
    first: int
    last: int
    counts: bool
    of_revs: bool
    about: bool


@dataclass(frozen=True, slots=True)
class _Known:
    """The pressures of a message, gauge kPa.

    ``rested`` where the boost was seen with nothing but the spring at work.
    """

    boost_kpa: float | None
    target_kpa: float | None
    spring_kpa: float | None
    rested: bool


@dataclass(frozen=True, slots=True)
class _Spoken:
    """A message beside its phrases: its text, its sentences, how they are meant, and pressures.

    ``inquiring`` are the sentences that only ask; those of the subject begin at ``subject_from``.
    """

    text: str
    sentences: Sequence[Sentence]
    attitudes: Sequence[Attitude]
    figures: Sequence[Figure]
    inquiring: Container[int]
    subject_from: int


def understand(mail: Mail, lexicon: Lexicon) -> Understanding:
    """What a message says; every quote is exactly what stands in its text."""
    found, spoken = _found_in(mail, lexicon)
    return _summed(found, spoken, lexicon)


def beside_heard(mail: Mail, lexicon: Lexicon) -> tuple[Message, frozenset[str]] | None:
    """A message beside what was heard, and the answers that phrases tell: what it is judged by.

    None where the lexicon has no sentences, or the message none.
    """
    found, spoken = _found_in(mail, lexicon)
    agreement = _agreement(spoken, lexicon)
    if agreement is None:
        return None
    words = _by_words(found, spoken, lexicon)
    named = frozenset(f"{one.check}={one.answer}" for one in words.facts)
    return agreement.message(words.kind, words.weight, words.facts), named


def _found_in(mail: Mail, lexicon: Lexicon) -> tuple[list[_Found], _Spoken]:
    """The phrases of a message, and what stands beside them."""
    found, sentences, attitudes = _of_text(mail, lexicon)
    of_others = _of_others(sentences)
    found = [_of_other_car(one) if one.sentence in of_others else one for one in found]
    body = len(sentences)
    subject = _without_marks(mail.subject)
    offset = len(mail.subject) - len(subject)
    for sentence in sentences_of(subject, tokens_of(subject), lexicon.phrases.vocabulary):
        attitudes.append(Attitude(sentence))
        number = len(sentences)
        found += _matches(attitudes[-1], number, subject, offset, lexicon, in_subject=True)
        sentences.append(sentence)
    inquiring: set[int] = set()
    for number, one in enumerate(sentences):
        if one.asked and (inquires(one) or number - 1 in inquiring):
            inquiring.add(number)
    figures = [one for one in figures_of(sentences) if one.at[0] not in of_others]
    return found, _Spoken(mail.text, sentences, attitudes, figures, inquiring, body)


def _of_text(mail: Mail, lexicon: Lexicon) -> tuple[list[_Found], list[Sentence], list[Attitude]]:
    """The phrases of a text, its sentences, and how each is meant."""
    found: list[_Found] = []
    sentences: list[Sentence] = []
    attitudes: list[Attitude] = []
    for start, text in own_text(mail.text, parts_of(mail.text)):
        for sentence in sentences_of(text, tokens_of(text), lexicon.phrases.vocabulary):
            attitudes.append(Attitude(sentence))
            number = len(sentences)
            found += _matches(attitudes[-1], number, text, start, lexicon, in_subject=False)
            sentences.append(_moved(sentence, start))
    return found, sentences, attitudes


def _agreement(spoken: _Spoken, lexicon: Lexicon) -> Agreement | None:
    """The sentences beside those that were heard; None where there are none."""
    if lexicon.kin is None or not spoken.sentences:
        return None
    stretches = stretches_of(spoken.sentences, spoken.attitudes, spoken.subject_from)
    return Agreement(Resemblance(list(stretches), lexicon.kin), lexicon, spoken.text)


def _of_others(sentences: Sequence[Sentence]) -> set[int]:
    """The sentences about somebody else's car, and those that go on about him."""
    found: set[int] = set()
    for number, one in enumerate(sentences):
        goes_on = number - 1 in found and one.words()[:1] in (["he"], ["she"], ["his"], ["they"])
        if goes_on or of_other_car(one):
            found.add(number)
    return found


def _of_other_car(one: _Found) -> _Found:
    return replace(one, heard=replace(one.heard, stance="other-car"))


def _of_pressure(sentences: Iterable[Sentence]) -> bool:
    """Is any unit of pressure named?"""
    return any(item.unit in KPA_PER for sentence in sentences for item in sentence.items)


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
    tokens = tuple(Token(one.text, one.start + start, one.end + start) for one in sentence.tokens)
    return Sentence(tokens, sentence.items, sentence.asked, sentence.clauses)


def _matches(
    attitude: Attitude, number: int, text: str, start: int, lexicon: Lexicon, *, in_subject: bool
) -> list[_Found]:
    """What is found in a sentence whose tokens count from the beginning of ``text``."""
    sentence = attitude.sentence
    matches = _longest(lexicon.phrases.found(sentence))
    if not matches:
        return []
    found = []
    for match in matches:
        begin = sentence.tokens[sentence.items[match.first].first].start
        end = sentence.tokens[sentence.items[match.last].last].end
        heard = Heard(
            match.meaning,
            attitude.of(
                match.places,
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
        of_revs = not counts and any(
            rpm_of(sentence.items[place]) is not None for place in match.places
        )
        about = _is_about_the_car(sentence, match) and not _taken_off(sentence, match)
        found.append(
            _Found(
                heard,
                match.words,
                match.weight,
                number,
                match.first,
                match.last,
                counts,
                of_revs,
                about,
            )
        )
    return found


def _is_about_the_car(sentence: Sentence, match: Match[Meaning]) -> bool:
    """Is a complaint one of the boost, and not of a thing beside it in the same clause?"""
    items = sentence.items
    clause = items[match.last].clause
    following = items[match.last + 1 : match.last + 2]
    named = [one for one in following if one.clause == clause and one.stem in _NAMED_BY_BOOST]
    if named and items[match.last].stem == "boost":
        return False
    if match.meaning.kind == "symptom" and any(
        items[place].stem == "pressur" and items[place - 1].stem in _OF_PRESSURE
        for place in match.places
        if place and place - 1 not in match.places
    ):
        return False
    if match.meaning.id not in _MOVES_LIKE_A_THING or items[match.first].stem in _OF_BOOST:
        return True
    before = items[max(0, match.first - 2) : match.first]
    return not any(
        one.stem in _THINGS and one.clause == items[match.first].clause for one in before
    )


def _taken_off(sentence: Sentence, match: Match[Meaning]) -> bool:
    """Is something off because the customer took it off? That is no answer to what he found."""
    if match.meaning.id not in _OFF_BY_HAND or match.meaning.kind != "answer":
        return False
    first = sentence.items[match.first].first
    last = sentence.items[match.last].last
    words = {token.text for token in sentence.tokens[max(0, first - _NEAR_HAND) : last + 1]}
    if match.meaning.answer.endswith("-off") and words & _BEGINS:
        return True
    return bool(words & _BY_HAND)


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
        # An overboost code is a code, and a hose that falls off is no boost that does.
        return one.id not in _OF_BEHAVIOUR
    return one.kind == other.kind and (one.kind != "answer" or one.id == other.id)


@dataclass(frozen=True, slots=True)
class _ByWords:
    """What phrases and figures say of a message by themselves.

    ``weight`` is how much they say for each complaint, the heaviest first.
    """

    kind: MessageKind
    weight: Mapping[str, float]
    facts: tuple[Fact, ...]
    known: _Known


def _by_words(found: Sequence[_Found], spoken: _Spoken, lexicon: Lexicon) -> _ByWords:
    figures = spoken.figures
    spring_kpa = _last_known(figures, "spring")
    boosts = [one for one in figures if one.role == "boost" and one.kpa is not None]
    stressed = {
        number for number, one in enumerate(spoken.sentences) if _EMPHASIS.intersection(one.words())
    }
    facts = _with_runs(_facts(found, lexicon), found, spoken, spring_kpa)
    known = _Known(
        max((one.kpa for one in boosts if one.kpa is not None), default=None),
        _last_known(figures, "target"),
        spring_kpa,
        any(one.resting for one in boosts) or _is_lowest(facts),
    )
    weight, place = _complaints(found, figures, known, stressed)
    symptoms = sorted(weight, key=lambda name: (-weight[name], place[name]))
    flagged = any((one.check, one.answer) in lexicon.dangerous for one in facts)
    kind = _kind(symptoms, flagged, found, spoken)
    return _ByWords(kind, {name: weight[name] for name in symptoms}, facts, known)


def _summed(found: Sequence[_Found], spoken: _Spoken, lexicon: Lexicon) -> Understanding:
    figures = spoken.figures
    heard = tuple(one.heard for one in found if one.heard.meaning.kind != "word")
    words = _by_words(found, spoken, lexicon)
    kind, symptoms, facts, known = words.kind, tuple(words.weight), words.facts, words.known
    resting = [one.kpa for one in figures if one.role == "boost" and one.resting and one.kpa]
    parts = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "part" and one.heard.stance in _MENTIONED
    }
    alarming: tuple[Heard, ...] = ()
    danger = 0.0
    agreement = _agreement(spoken, lexicon)
    if agreement:
        judged = agreement.judged(words.kind, words.weight, words.facts, heard)
        kind, symptoms, facts = judged.kind, judged.symptoms, judged.facts
        danger, alarming = judged.danger, judged.alarming
        known = replace(known, rested=known.rested or _is_lowest(facts))
        if kind == "complaint" and _is_proven(known):
            # That is no boost that stays at the spring, whatever words are used.
            others = [name for name in symptoms if name not in {"overboost", "spring-ceiling"}]
            symptoms = (*others, "overboost")
        heard = agreement.heard(heard, words.facts, symptoms, facts)
    worked = next((one.answer for one in facts if one.check == "what-changed"), None)
    setup, gate, bypass, setups = setup_of(parts, lexicon)
    if kind == "unrelated":
        return Understanding(
            "unrelated", heard=heard, figures=tuple(figures), alarming=alarming, danger=danger
        )
    return Understanding(
        kind=kind,
        symptoms=symptoms,
        setup=setup,
        gate=gate,
        bypass=bypass,
        setups=setups,
        parts=tuple(sorted(parts)),
        recent_work=worked or _subject_history(found),
        spring_kpa=known.spring_kpa,
        boost_kpa=known.boost_kpa,
        target_kpa=known.target_kpa,
        resting_kpa=max(resting, default=None),
        pump_kpa=_last_known(figures, "pump"),
        facts=facts,
        unclear=tuple(one for one in figures if one.kpa is None),
        figures=tuple(figures),
        heard=heard,
        alarming=alarming,
        danger=danger,
    )


def _is_lowest(facts: Iterable[Fact]) -> bool:
    """Was boost seen with nothing but the spring at work?"""
    return any(one.check in {LOWEST, DIRECT} for one in facts)


def _with_runs(
    facts: tuple[Fact, ...],
    found: Sequence[_Found],
    spoken: _Spoken,
    spring_kpa: float | None,
) -> tuple[Fact, ...]:
    """The facts, with what the complaints say of checks on the road."""
    complaints = [
        Told(symptom, one.sentence, one.heard.quote, one.heard.start, one.heard.end)
        for symptom, one in _said_once(found, spoken.figures, spring_kpa)
        if one.heard.stance == "said" and not one.heard.in_subject
    ]
    quoted = {
        one.start: spoken.text[one.start : one.end]
        for one in spoken.figures
        if one.at[0] < spoken.subject_from
    }
    runs = run_facts(spoken.sentences, complaints, spoken.figures, spring_kpa, quoted)
    known = {one.check for one in facts}
    more = [one for one in runs if one.check not in known]
    return tuple(sorted([*facts, *more], key=lambda one: one.start))


def facts_alone(mail: Mail, lexicon: Lexicon) -> tuple[Fact, ...]:
    """The facts of a message that is known to be about a car, such as a reply in its case."""
    found, sentences, attitudes = _of_text(mail, lexicon)
    facts = _facts(found, lexicon)
    spoken = _Spoken(mail.text, sentences, attitudes, (), (), len(sentences))
    agreement = _agreement(spoken, lexicon)
    return agreement.facts(facts) if agreement else facts


def _last_known(figures: Iterable[Figure], role: str) -> float | None:
    return next((one.kpa for one in figures if one.role == role and one.kpa is not None), None)


def _subject_history(found: Iterable[_Found]) -> str | None:
    for one in found:
        meaning = one.heard.meaning
        if (meaning.kind, meaning.id) == ("answer", "what-changed") and one.heard.in_subject:
            return meaning.answer
    return None


def _complaints(
    found: Sequence[_Found],
    figures: Sequence[Figure],
    known: _Known,
    stressed: Container[int],
) -> tuple[dict[str, float], dict[str, tuple[int, int]]]:
    """How much the words and figures say for each complaint, and where it is said first."""
    boost_kpa, target_kpa, spring_kpa = known.boost_kpa, known.target_kpa, known.spring_kpa
    weight: dict[str, float] = {}
    place: dict[str, tuple[int, int]] = {}

    def add(symptom: str, by: float, at: tuple[int, int]) -> None:
        weight[symptom] = weight.get(symptom, 0.0) + by
        place[symptom] = min(place.get(symptom, at), at)

    for symptom, one in _said_once(found, figures, spring_kpa):
        by = min(one.weight, 4) * (_IN_SUBJECT if one.heard.in_subject else 1.0)
        by *= _STRESS if one.sentence in stressed else 1.0
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
        if _is_proven(known):
            add("overboost", 1.0 if weight.keys() & {"creep"} else 3.0, boosts[0].at)
    if not weight and boost_kpa is None:
        complaint = _bare_complaint(figures)
        if complaint is not None:
            add(complaint, 2.0, (0, 0))
    return weight, place


def _is_proven(known: _Known) -> bool:
    """Was far more than the spring seen, with nothing but the spring at work?"""
    return (
        known.rested
        and known.spring_kpa is not None
        and known.boost_kpa is not None
        and known.boost_kpa >= known.spring_kpa + _FAR_OVER_SPRING_KPA
    )


def _said_once(
    found: Sequence[_Found], figures: Sequence[Figure], spring_kpa: float | None
) -> list[tuple[str, _Found]]:
    """The complaints of all phrases; words that several phrases of one take count once."""
    counted: list[tuple[str, _Found]] = []
    for one in sorted(found, key=lambda each: (-each.weight, each.last - each.first)):
        if one.heard.meaning.kind != "symptom" or one.heard.stance not in TAKEN or not one.about:
            continue
        symptom = _judged(one, found, figures, spring_kpa)
        # Words that say more take those that say less, whatever these complain of.
        if symptom is None or any(
            (symptom == other or kept.weight > one.weight)
            and one.sentence == kept.sentence
            and one.first <= kept.last
            and kept.first <= one.last
            for other, kept in counted
        ):
            continue
        counted.append((symptom, one))
    counted = [
        ("hunting" if symptom == "spike" and _repeated(one, counted) else symptom, one)
        for symptom, one in counted
    ]
    moving = {kept.sentence for symptom, kept in counted if symptom in _MOVING}
    # Sits at 11, then creeps to 17: the level is where the trouble begins.
    return [
        (symptom, one)
        for symptom, one in counted
        if symptom != "spring-ceiling" or one.sentence not in moving
    ]


def _repeated(one: _Found, counted: Sequence[tuple[str, _Found]]) -> bool:
    """Over, under, over, under: is it said twice in a sentence with the same words?"""
    words = one.heard.quote.lower().split()
    return any(
        other is not one
        and symptom == "spike"
        and other.sentence == one.sentence
        and other.heard.quote.lower().split()[:2] == words[:2]
        for symptom, other in counted
    )


def _judged(
    one: _Found, found: Sequence[_Found], figures: Sequence[Figure], spring_kpa: float | None
) -> str | None:
    """The complaint that a phrase makes, judged by the figure in it; None where it makes none."""
    symptom = one.heard.meaning.id
    if symptom in {"overboost", "spring-ceiling"} and one.of_revs:
        # Past 4500 is no boost.
        return None
    if symptom == "spike" and _LONG.intersection(one.heard.quote.lower().split()):
        return None
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
            return low_complaint(inside[0].kpa, spring_kpa, _LOW_KPA[symptom])
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
        and other.heard.stance in TAKEN
        for other in found
    )
    return spiked and "target" in one.heard.quote.lower()


def _facts(found: Sequence[_Found], lexicon: Lexicon) -> tuple[Fact, ...]:
    """Answers that are said, one to a check unless it takes several: the one in most words."""
    best: dict[tuple[str, str], tuple[int, int, Fact]] = {}
    flutters = {
        one.sentence
        for one in found
        if one.heard.meaning.id == "flutter" and one.heard.stance in TAKEN
    }
    for order, one in enumerate(found):
        meaning = one.heard.meaning
        if meaning.kind != "answer" or one.heard.in_subject or not one.about:
            continue
        allowed = _SAID
        if meaning.id in lexicon.history:
            allowed = HISTORY
        elif (meaning.id, meaning.answer) in lexicon.dangerous:
            allowed = TAKEN
        heard = one.heard
        if heard.stance not in allowed or _is_of_the_moment(one, flutters):
            continue
        fact = Fact(meaning.id, meaning.answer, heard.quote, heard.start, heard.end)
        key = (meaning.id, meaning.answer if meaning.id in lexicon.several else "")
        rank = (one.words, -order if meaning.id in lexicon.several else order)
        if key not in best or rank > best[key][:2]:
            best[key] = (*rank, fact)
    facts = [entry[2] for entry in best.values()]
    return tuple(
        sorted([*facts, *_lately(facts), *_no_flags(found, facts)], key=lambda one: one.start)
    )


def _is_of_the_moment(one: _Found, flutters: Container[int]) -> bool:
    """Is it said of a test, or of each lift-off? Nothing changes with power; it does it every time.

    ``flutters`` are the sentences that tell of a flutter.
    """
    meaning, words = one.heard.meaning, one.heard.quote.lower().split()
    if (meaning.id, meaning.answer) == ("what-changed", "nothing"):
        return words[0] == "nothing" and words[-1] in {"changes", "moves"}
    return (meaning.id, meaning.answer) == ("when-worst", "steady") and one.sentence in flutters


def _no_flags(found: Iterable[_Found], facts: Sequence[Fact]) -> list[Fact]:
    """No knock, no smoke, no smell: several flags denied in a breath are no red flag."""
    if any(one.check == _RED_FLAGS for one in facts):
        return []
    denied = [
        one
        for one in found
        if (one.heard.meaning.kind, one.heard.meaning.id) == ("answer", _RED_FLAGS)
        and one.heard.stance == "denied"
    ]
    for one in denied:
        last = [other for other in denied if other.sentence == one.sentence][-1]
        if last.heard.meaning.answer != one.heard.meaning.answer:
            return [Fact(_RED_FLAGS, "none", last.heard.quote, last.heard.start, last.heard.end)]
    return []


def _lately(facts: Sequence[Fact]) -> list[Fact]:
    """Work that is told with the trouble, without saying when, was done just before it."""
    if any(one.check == "what-changed" for one in facts):
        return []
    for one in facts:
        words = one.quote.lower().split()
        if one.check == "worked-on" and any(stem(word) in _WORK for word in words):
            return [Fact("what-changed", "just-fitted", one.quote, one.start, one.end)]
    return []


def _kind(
    symptoms: Sequence[str],
    flagged: bool,
    found: Sequence[_Found],
    spoken: _Spoken,
) -> MessageKind:
    """Is it about the trouble of a car with boost, and is it said what the trouble is?

    Words that others use as well (hunting, fades) count only beside words of the trade;
    those that only ask do not: what spring for 18 psi?
    """
    figures = spoken.figures
    topics = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "word"
        and not (one.heard.meaning.id == "trouble" and one.heard.stance in {"denied", "other-car"})
    }
    parts = any(one.heard.meaning.kind == "part" for one in found)
    answers = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "answer" and one.heard.stance in HISTORY
    }
    worst = "when-worst" in answers
    trade = parts or "trade" in topics or _of_pressure(spoken.sentences)
    gears = any(
        item.unit == "ordinal" and item.value in _GEARS
        for sentence in spoken.sentences
        for item in sentence.items
    )
    car = trade or "car" in topics or gears
    if (symptoms or flagged) and (car or figures or len(answers) >= _ANSWERS_THAT_TELL):
        return "complaint"
    if "unwell" in topics and car:
        return "vague"
    if "business" in topics:
        return "unrelated"
    told = {
        one.heard.meaning.id
        for one in found
        if one.heard.meaning.kind == "answer" and one.heard.stance in _SAID
    } - {"what-changed", "worked-on", "when-worst"}
    # Anything may cut out when hot.
    if symptoms and (told or (answers and tuple(symptoms) != ("power-cut",))):
        return "complaint"
    if ("trouble" in topics or told or worst) and trade:
        return "vague"
    if told and ("trouble" in topics or len(told) >= _ANSWERS_THAT_TELL):
        return "vague"
    told_figures = [
        one for one in figures if one.unit is not None and one.at[0] not in spoken.inquiring
    ]
    return "vague" if told_figures else "unrelated"
