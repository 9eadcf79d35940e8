"""Pressures that a customer names: in which unit, gauge or absolute, and of what.

What is not clear stays unclear: a bare number has no unit unless all other pressures of the
message share one, and a large number of kPa may be absolute.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from expert.evidence.mail.differences import is_difference, is_span, quantity
from expert.evidence.mail.roles import (
    LEADS,
    Role,
    around,
    is_spring_too,
    is_target_too,
    names_spring,
    role_of,
    was_so,
)
from expert.evidence.mail.sentences import UNITS, Item, Sentence
from expert.evidence.mail.words import FILLERS, NUMBER, is_negation, wordset
from expert.units import KPA_PER

Scale = Literal["gauge", "absolute", "unclear"]

# From here up a number of kPa may as well be absolute: outside air alone is about 100.
MAY_BE_ABSOLUTE_KPA: Final = 90.0
OUTSIDE_AIR_KPA: Final = 101.325
_LEAST_KPA: Final = 3.0
_MOST_KPA: Final = 600.0
_LEAST_BARE_KPA: Final = 10.0
_PSI_LIKE: Final = (2.0, 45.0)
_BAR_LIKE: Final = (0.2, 2.9)
# Without any unit: so much of boost is told in bar only; more may be little boost in psi.
_MOST_BAR_UNNAMED: Final = 2.2
_RPM: Final = (1500.0, 9900.0)

_ELSEWHERE: Final = wordset(
    "fuel oil tyre tyres tire tires coolant brake brakes battery vacuum vac compression cylinder "
    "cylinders rail regulator inhg exhaust backpressure wideband lambda afr clearance injector"
)
_TYRES: Final = wordset("tyre tyres tire tires")
_GAUGE_WORDS: Final = wordset("gauge gage boost relative barg psig kpag")
_ABSOLUTE_WORDS: Final = wordset("absolute abs psia bara kpaa")
_RELATIVE: Final = wordset("relative atmosphere atmospheric ambient overpressure")
_ALL: Final = wordset("all every both everything")
_VALUES: Final = wordset("figures numbers values pressures readings figure number value everything")
# Over the air outside, that is gauge.
_OVER_AIR: Final = wordset("atmosphere atmospheric ambient atmo atmos barometric")
_DOUBT: Final = wordset("dunno unsure sure whether idea know")
_COUNTED: Final = wordset("gear gears stage step cylinder cylinders port times")
_MAKES: Final = wordset("makes made make making hits reaches reached reads read shows showed gives")
_STAYS: Final = wordset("stays stay stayed sits sit sat stuck stops stopped holds sticks")
_SUBJECTS: Final = wordset("it boost pressure car she he gauge needle that and is still just only")
_GOES_ON: Final = wordset(
    "straight right now then instead and but from by at as on until till for all max every no so"
)
_NOT_PRESSURES: Final = wordset(
    "gear gears hp bhp rpm mile miles year years week weeks month months day days hour hours times "
    "hose hoses bolt bolts inch inches mm port ports am pm pounds quid euro euros dollars th "
    "litres liter liters engine engines petrol diesel tdi turbo lambda afr amp amps grams kg "
    "hz v s c l a version seat seater door doors "
    "turn turns click clicks notch notches"
)
# Said of the boost that the spring alone gives; words that say nothing are left out.
_RESTING: Final = tuple(
    tuple(run.split())
    for run in (
        "unplugged",
        "disconnected",
        "not plugged",
        "isnt plugged",
        "wasnt plugged",
        "no duty",
        "zero duty",
        "0 duty",
        "0 % duty",
        "duty 0",
        "duty at 0",
        "duty zero",
        "duty at zero",
        "0 %",
        "zero percent",
        "no solenoid",
        "without solenoid",
        "solenoid off",
        "spring only",
        "spring alone",
        "straight gate",
        "straight wastegate",
        "straight actuator",
        "controller off",
        "wound right out",
        "wound out",
        "wound way out",
        "lowest setting",
        "minimum setting",
        "turned right down",
        "base map",
    )
)


_NOT_BEFORE: Final = frozenset(
    {
        "\N{POUND SIGN}",
        "$",
        "\N{EURO SIGN}",
        "#",
        "lambda",
        "afr",
        "version",
        "firmware",
        "gap",
    }
)
# What may follow a pressure and a joining word, and is no pressure: 1.3 to 4000 rpm.
_NO_RANGES: Final = frozenset({None, "rpm", "thousand", "ordinal", "percent", "count"})
# Words before a number with a decimal that make it a boost, where boost is spoken of.
_BAR_LEADS: Final = LEADS | wordset(
    "its is im are was thats passes passed passing past says say said shows show showed displays "
    "indicates at in between through comes coming came onto under below just maybe ever "
    "dances dancing swings swinging surges surging moves wobbles wobbling bounces bouncing hovers "
    "hunts hunting pulses / always starts start started stops ends topped tops gains be steady "
    "flat log logged ( : = -"
)
_BOOST_TALK: Final = wordset(
    "boost boosts boosting boosted psi bar kpa pressure spring creeps creep creeping creepin spike "
    "spikes spiked stuck sits settles shot hits hit over past above peaks peaked needle "
    "gauge holds "
    "lb lbs overboost max climbs drops falls target peak peaking overshoot overshoots needle "
    "boosting underboost"
)
_NO_BAR_LEADS: Final = wordset("a an my the this that v by for of x")
_BAR_TALK: Final = _BOOST_TALK | wordset(
    "log ecu map wanted asked request requests requested turbo gate wastegate actuator"
)
# Said with a number that is the rest of its clause: 0.2 maybe; 1.1 as always.
_ASIDE: Final = wordset(
    "maybe perhaps about around roughly only just at most best max tops as always ever usual "
    "before or so ish still same steady in on second third fourth fifth sixth first "
    "gear and then is it its now at the top end redline limiter full throttle load revs"
)
_INSTEAD: Final = wordset("where instead vs versus against rather not")
# Words that say that a number is of the boost or of its gauge.
_NAMES_PRESSURES: Final = wordset(
    "spring springs target boost boosts boosting boosted overboost overboosting underboost gauge"
)
_NAMES_BOOST: Final = wordset(
    "boost boosts boosting boosted overboost overboosting underboost gauge"
)

_GOES_BACK: Final = wordset("it still boost result then")


@dataclass(frozen=True, slots=True)
class Figure:
    """A pressure of a message. ``kpa`` is gauge, None where unit or scale is unclear.

    ``clear`` is false where something about it must be asked; ``rpm`` is the engine speed that
    it is said of; ``at`` is its sentence and meaning word.
    """

    value: float
    unit: str | None
    scale: Scale
    kpa: float | None
    role: Role
    start: int
    end: int
    at: tuple[int, int]
    rpm: float | None = None
    resting: bool = False


@dataclass(frozen=True, slots=True)
class _Message:
    """What the whole message tells of its pressures: is one named with its unit, is boost spoken
    of, in which scale are all of them?"""

    sentences: Sequence[Sentence]
    united: bool
    boosted: bool
    scale: Scale | None


def figures_of(sentences: list[Sentence]) -> list[Figure]:
    """Every pressure of a message, in order.

    A boost that is also said to be the spring's comes twice, with both roles.
    """
    units: set[str | None] = {
        item.unit
        for sentence in sentences
        for item in sentence.items
        if item.stem == NUMBER and item.unit in KPA_PER
    }
    units = units or _units_alone(sentences)
    boosted = any(_NAMES_PRESSURES.intersection(one.words()) for one in sentences)
    message = _Message(sentences, bool(units), boosted, _scale_of_all(sentences))
    found: list[Figure] = []
    for number, sentence in enumerate(sentences):
        if found and found[-1].at[0] == number - 1 and names_spring(sentence):
            found.append(replace(found[-1], role="spring", resting=False))
        found += _on_target(sentence, number, found)
        after_boost = any(one.role == "boost" and one.at[0] == number - 1 for one in found[-3:])
        found += _in_sentence(number, message, after_boost)
    return _with_shared_unit(found, units, sentences)


def _in_sentence(number: int, message: _Message, after_boost: bool) -> Iterator[Figure]:
    """The pressures of a sentence; ``after_boost`` where the one before it names a boost."""
    sentence = message.sentences[number]
    earlier = message.sentences[number - 1] if number else None
    words = [token.text for token in sentence.tokens]
    if _TYRES.intersection(words):
        return
    resting = _rests(sentence) or (
        # With the solenoid unplugged. It makes 14 psi.
        earlier is not None and words[0] in _GOES_BACK and _rests(earlier) and not after_boost
    )
    for place, named in enumerate(sentence.items):
        item = _with_unit_of_range(sentence, place)
        if named.stem != NUMBER:
            continue
        if item.unit not in KPA_PER and (item.unit is not None or not _is_bare(sentence, place)):
            continue
        size = None if item.unit is None else item.value * KPA_PER[item.unit]
        if size is not None and not _LEAST_KPA <= size <= _MOST_KPA:
            continue
        if _ELSEWHERE.intersection(around(sentence, item.first, item.last)):
            continue
        if is_difference(sentence, place, size, earlier) or is_span(sentence, place):
            continue
        role = _role(message.sentences, number, place)
        if role is None or (
            item.unit is None and role == "boost" and not _is_boost(message, sentence, place)
        ):
            continue
        scale = _scale(words, item, words[item.first : item.last + 3], role)
        if message.scale is not None and item.unit is not None and role != "spring":
            scale = message.scale
        figure = Figure(
            item.value,
            item.unit,
            scale,
            _kpa(item.value, item.unit, scale),
            role,
            sentence.tokens[item.first].start,
            sentence.tokens[item.last].end,
            (number, place),
            rpm_near(sentence.items, place),
            resting and role == "boost",
        )
        yield figure
        if role == "boost" and is_spring_too(sentence, place):
            yield replace(figure, role="spring", resting=False)
        if role == "boost" and is_target_too(sentence, place):
            yield replace(figure, role="target", resting=False)


def _units_alone(sentences: Sequence[Sentence]) -> set[str | None]:
    """The unit that is named without a number: all in psi."""
    found: set[str | None] = set()
    for sentence in sentences:
        before = ""
        for token in sentence.tokens:
            if token.text in {"psi", "kpa"} or (token.text == "bar" and before == "in"):
                found.add(UNITS[token.text])
            before = token.text
    return found


def _is_boost(message: _Message, sentence: Sentence, place: int) -> bool:
    """Do the words make a boost of a bare number?"""
    led = [token.text for token in sentence.tokens[: sentence.items[place].first]]
    if sentence.asked and len(led) <= _ASKED_WITHIN and _QUESTIONS.intersection(led[:1]):
        # Is 1.2 safe? It is asked for, and not what was seen.
        return False
    return (
        _led(sentence, place)
        or (message.united and _reached(sentence, place))
        or _is_called_so(sentence, place, message)
    )


_ASKED_WITHIN: Final = 3
_QUESTIONS: Final = wordset("is are would could can should will")


def _role(sentences: Sequence[Sentence], number: int, place: int) -> Role | None:
    """Of what it is, with what the sentences beside its own tell."""
    sentence = sentences[number]
    role = role_of(sentence, place)
    if _is_one_of_springs(sentence, place, sentences[number - 1] if number else None):
        # The spring that I wanted is not in the gate.
        return "spring" if role in {"boost", "spring"} else None
    return "past" if role == "boost" and was_so(sentences, number, place) else role


def _on_target(sentence: Sentence, number: int, found: Sequence[Figure]) -> list[Figure]:
    """Target is 17 psi. It gets there at 3600: the target is a boost as well."""
    if not found or found[-1].role != "target" or found[-1].at[0] != number - 1:
        return []
    items = sentence.items
    for place, item in enumerate(items):
        following = [token.text for token in sentence.tokens[item.first + 1 : item.first + 2]]
        word = sentence.tokens[item.first].text
        if word in _REACHES and following in _GOAL:
            clause = sentence.words(item.clause)
            if any(is_negation(one) for one in clause) or sentence.asked:
                return []
            one = found[-1]
            return [replace(one, role="boost", at=(number, place), rpm=rpm_near(items, place))]
    return []


def _is_one_of_springs(sentence: Sentence, place: int, earlier: Sentence | None) -> bool:
    """I changed the spring: it is the 5 psi now, I wanted the 10."""
    item = sentence.items[place]
    before = [token.text for token in sentence.tokens[max(0, item.first - 3) : item.first]]
    if before[-1:] != ["the"] or not _CHOSEN.intersection(before[-2:-1]):
        return False
    after = [token.text for token in sentence.tokens[item.last + 1 : item.last + 2]]
    if after and after[0] not in _AFTER_SPRING:
        return False
    words = [token.text for token in sentence.tokens[: item.first]]
    words += earlier.words() if earlier is not None else []
    return bool(_SPRINGS.intersection(words))


_REACHES: Final = wordset("gets got reaches reached hits comes")
_GOAL: Final = (["there"], ["it"], ["that"], ["target"])
_SPRINGS: Final = wordset("spring springs")
_CHOSEN: Final = wordset(
    "its is was have has had got fitted be put used want wanted ordered bought need chose picked"
)
_AFTER_SPRING: Final = wordset("and or , . one but ) now in instead - not")


def _rests(sentence: Sentence) -> bool:
    """Does it speak of nothing but the spring at work?"""
    return holds_run([word for word in sentence.words() if word not in FILLERS], _RESTING)


def _scale_of_all(sentences: Sequence[Sentence]) -> Scale | None:
    """All figures are gauge pressure."""
    for sentence in sentences:
        words = set(sentence.words())
        if not (words & _ALL and words & _VALUES) or sentence.asked or words & _DOUBT:
            continue
        gauge = bool(words & (_RELATIVE | {"gauge", "gage"}))
        if gauge != bool(words & _ABSOLUTE_WORDS):
            return "gauge" if gauge else "absolute"
    return None


def _with_unit_of_range(sentence: Sentence, place: int) -> Item:
    """The 1.3 of 1.3 down to 0.8 bar is in bar."""
    item = sentence.items[place]
    if item.stem != NUMBER or item.unit is not None or not _is_bare(sentence, place):
        return item
    _, last = quantity(sentence, place)
    before = sentence.tokens[item.first - 1].text if item.first else ""
    if last == item.last or before in _COUNTED:
        return item
    other = next(one for one in sentence.items[place + 1 :] if one.last == last)
    return item if other.unit in _NO_RANGES else replace(item, unit=other.unit)


def _reached(sentence: Sentence, place: int) -> bool:
    """It makes 13; it stays at 13: said of a number that has no noun."""
    item = sentence.items[place]
    before = [token.text for token in sentence.tokens[max(0, item.first - 3) : item.first]]
    if before[-1:] == ["at"]:
        verb, subject = before[-2:-1], before[-3:-2]
        said = bool(_STAYS.intersection(verb))
    else:
        verb, subject = before[-1:], before[-2:-1]
        said = bool(_MAKES.intersection(verb))
    # What I see: 18.
    if before[-1:] in ([":"], ["="]) and _SEEN.intersection(before[-2:-1]):
        said, subject = True, ["it"]
    # By 6800 it's 12.
    led = before[-1:] and before[-1] in _AT_REVS
    if led and any(rpm_of(one) and one.clause == item.clause for one in sentence.items[:place]):
        said, subject = True, ["it"]
    if not said or not _SUBJECTS.intersection(subject):
        return False
    following = item.last + 1
    if following == len(sentence.tokens):
        return True
    if sentence.clauses[following] != sentence.clauses[item.last]:
        return True
    return sentence.tokens[following].text in _GOES_ON


def _is_called_so(sentence: Sentence, place: int, message: _Message) -> bool:
    """Is a number with a decimal said of the boost? It's 1.15 by 6000; I get little, 0.2 maybe.

    A number of psi in a message that names its unit is one where it stands alone: 18 in fourth.
    """
    talk = {token.text for token in sentence.tokens}
    if not _is_bar_like(sentence, place):
        value = sentence.items[place].value
        named = message.united and value >= _LEAST_PSI_ALONE and _BOOST_TALK.intersection(talk)
        return bool(named) and _is_alone(sentence, place)
    if not message.boosted and not _BAR_TALK.intersection(talk):
        return False
    item = sentence.items[place]
    before = sentence.tokens[item.first - 1].text if item.first else ""
    after = sentence.tokens[item.last + 1].text if item.last + 1 < len(sentence.tokens) else ""
    if before in _NO_BAR_LEADS:
        return False
    return before in _BAR_LEADS or after in _INSTEAD or _is_alone(sentence, place)


def _is_alone(sentence: Sentence, place: int) -> bool:
    """Is a number all that its clause says? In fourth 1.25; the same, 1.3; 1.4, 1.5, 1.6."""
    item = sentence.items[place]
    words = around(sentence, item.first, item.last, _ASIDES, _ASIDES)
    others = [word for word in words if word[0].isalnum()]
    return len(others) <= _ASIDES and all(word in _ASIDE or word[:1].isdigit() for word in others)


def _is_bar_like(sentence: Sentence, place: int) -> bool:
    """Is a number written with a decimal, and of a size that boost has in bar?"""
    item = sentence.items[place]
    written = sentence.tokens[item.first].text
    return ("." in written or "," in written) and _BAR_LIKE[0] <= item.value <= _BAR_LIKE[1]


_SEEN: Final = wordset("see saw boost peak max gauge log shows reads says")
_AT_REVS: Final = wordset("its at is to only got see just down")
_ASIDES: Final = 5
_LEAST_PSI_ALONE: Final = 5.0


def holds_run(words: Sequence[str], runs: Iterable[tuple[str, ...]]) -> bool:
    """Do the words hold one of these runs of words?"""
    known = set(words)
    for run in runs:
        if run[0] not in known:
            continue
        for position in range(len(words) - len(run) + 1):
            if words[position] == run[0] and tuple(words[position : position + len(run)]) == run:
                return True
    return False


def _is_bare(sentence: Sentence, place: int) -> bool:
    """May a number without a unit be a pressure?"""
    item = sentence.items[place]
    value = item.value
    if not (_PSI_LIKE[0] <= value <= _PSI_LIKE[1] or _BAR_LIKE[0] <= value <= _BAR_LIKE[1]):
        return False
    tokens = sentence.tokens
    after = tokens[item.last + 1].text if item.last + 1 < len(tokens) else ""
    if after in _NOT_PRESSURES or after == ":":
        return False
    before = tokens[item.first - 1].text if item.first else ""
    if _touches(sentence, item.first) or _touches(sentence, item.last + 1):
        return False
    if "/" in {before, after} and not _is_bar_like(sentence, place):
        return False
    return before not in _NOT_BEFORE


def _touches(sentence: Sentence, position: int) -> bool:
    """Is a number one of several that touch, as in a time or a version: 10:30, 1.4.2?"""
    if not 0 < position < len(sentence.tokens):
        return False
    before, after = sentence.tokens[position - 1], sentence.tokens[position]
    if before.end != after.start:
        return False
    return ":" in {before.text, after.text} or (before.is_number and after.is_number)


def _led(sentence: Sentence, place: int) -> bool:
    item = sentence.items[place]
    before = [token.text for token in sentence.tokens[max(0, item.first - 3) : item.first]]
    after = [token.text for token in sentence.tokens[item.last + 1 : item.last + 3]]
    if any(rpm_of(one) for one in sentence.items[place + 1 : place + 4]) and after[:1] != ["rpm"]:
        return True
    if after and not after[0][0].isalnum():
        after = []
    if not (LEADS.intersection(before[-2:]) or "boost" in after or "max" in after):
        return False
    # In fourth gear, at 6 in the morning: a boost is also spoken of.
    every = {token.text for token in sentence.tokens}
    return bool(every & _BOOST_TALK)


def _scale(words: list[str], item: Item, near: list[str], role: Role) -> Scale:
    both = _ABSOLUTE_WORDS.intersection(words) and {"gauge", "gage"}.intersection(words)
    if both or (_ABSOLUTE_WORDS.intersection(words) and _DOUBT.intersection(words)):
        return "unclear"
    if _ABSOLUTE_WORDS.intersection(near) or (
        _ABSOLUTE_WORDS.intersection(words) and role == "boost"
    ):
        return "absolute"
    if item.unit is None:
        return "unclear"
    if item.unit in {"kPa", "hPa", "mbar"}:
        kpa = item.value * KPA_PER[item.unit]
        # A boost gauge may read absolute pressure all the same.
        before = [word for word in words[max(0, item.first - 2) : item.first] if word != "of"]
        before = [word for word in before[-1:] if word != "gauge"]
        beside = [*before, *words[item.last : item.last + 4]]
        over_air = _OVER_AIR.intersection(words[item.last : item.last + 5])
        if kpa >= MAY_BE_ABSOLUTE_KPA and not (_GAUGE_WORDS.intersection(beside) or over_air):
            return "gauge" if role == "spring" else "unclear"
    return "gauge"


def _kpa(value: float, unit: str | None, scale: Scale) -> float | None:
    if unit is None or scale == "unclear":
        return None
    kpa = value * KPA_PER[unit]
    if scale == "absolute":
        kpa -= OUTSIDE_AIR_KPA
    return round(kpa, 1) if kpa > 0.0 else None


# Where an engine speed is only named: at the top, in the middle; from memory.
_NAMED_RPM: Final = {"redlin": 7000.0, "limiter": 7000.0, "top": 7000.0, "middl": 4000.0}


def rpm_near(items: tuple[Item, ...], place: int) -> float | None:
    """The engine speed that is said of the number at a place: the next one, before the next
    pressure; else the one before it."""
    for candidate in items[place + 1 : place + 7]:
        rpm = rpm_of(candidate) or _NAMED_RPM.get(candidate.stem)
        if rpm is not None:
            return rpm
        if candidate.stem == NUMBER and candidate.unit in {None, *KPA_PER}:
            break
    for back, candidate in enumerate(reversed(items[max(0, place - 4) : place])):
        rpm = rpm_of(candidate)
        # Further off in its own clause only: by 6800 I am looking at 12.
        if rpm is not None and (back <= 1 or candidate.clause == items[place].clause):
            return rpm
        if back > 1 and candidate.stem == NUMBER:
            break
    return None


def rpm_of(item: Item) -> float | None:
    """The engine speed that a number is, or None for another number."""
    if item.stem != NUMBER:
        return None
    value = item.value
    if item.unit == "thousand":
        value *= 1000.0
    elif item.unit not in {None, "rpm"}:
        return None
    return value if _RPM[0] <= value <= _RPM[1] else None


def _with_shared_unit(
    found: list[Figure], named: set[str | None], sentences: Sequence[Sentence]
) -> list[Figure]:
    """Bare numbers read in the one unit that every other pressure of the message has.

    ``named`` are the units of all pressures, also of those that are no figure. Where they are
    several, or none, the size of a number may tell.
    """
    units = {figure.unit for figure in found if figure.unit is not None} or named
    if not units:
        return _sized(found, sentences)
    if len(units) == 1:
        (unit,) = units
        return [_in_unit(one, unit) if one.unit is None and unit else one for one in found]
    return [
        _in_unit(one, "bar" if one.value <= _BAR_LIKE[1] else "psi")
        if one.unit is None and units == {"bar", "psi"}
        else one
        for one in found
    ]


def _sized(found: list[Figure], sentences: Sequence[Sentence]) -> list[Figure]:
    """Boost of 1.2 is in bar where no unit is named: all the numbers are of that size.

    Something must call them boost, or a spring or a target.
    """
    bare = [one for one in found if one.unit is None]
    if not bare or not all(
        _BAR_LIKE[0] <= one.value <= _MOST_BAR_UNNAMED
        and _is_bar_like(sentences[one.at[0]], one.at[1])
        for one in bare
    ):
        return found
    called = any(one.role in {"spring", "target"} for one in bare) or any(
        _NAMES_BOOST.intersection(one.words()) for one in sentences
    )
    return [_in_unit(one, "bar") for one in found] if called else found


def _in_unit(figure: Figure, unit: str) -> Figure:
    """A bare number read in a unit, where it makes a pressure that a car can have."""
    kpa = figure.value * KPA_PER[unit]
    if figure.scale == "absolute" or not _LEAST_BARE_KPA <= kpa <= _MOST_KPA:
        return figure
    unclear = unit == "kPa" and kpa >= MAY_BE_ABSOLUTE_KPA and figure.role != "spring"
    scale: Scale = "unclear" if unclear else "gauge"
    return replace(figure, unit=unit, scale=scale, kpa=_kpa(figure.value, unit, scale))
