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
    names_spring,
    role_of,
    was_so,
)
from expert.evidence.mail.sentences import Item, Sentence
from expert.evidence.mail.words import FILLERS, NUMBER, wordset
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
    "cylinders rail regulator inhg exhaust backpressure"
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
    "hz v s c l a version seat seater door doors"
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


# Words before a number with a decimal that make it a boost, where boost is spoken of.
_BAR_LEADS: Final = LEADS | wordset(
    "its is im are was thats passes passed passing past says say said shows show showed displays "
    "indicates at in between through comes coming came onto under below just maybe ever "
    "always starts start started stops ends topped tops gains be steady flat ( : = -"
)
_NO_BAR_LEADS: Final = wordset("a an my the this that lambda afr version v gap by for of x")
# Said with a number that is the rest of its clause: 0.2 maybe; 1.1 as always.
_ASIDE: Final = wordset(
    "maybe perhaps about around roughly only just at most best max tops as always ever usual "
    "before or so ish still same steady in on second third fourth fifth sixth first "
    "gear and then is it its now at"
)
_INSTEAD: Final = wordset("instead vs versus against rather not")
# Words that say that a number is of the boost or of its gauge.
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
    """What the whole message tells of its pressures: is one named with its unit, in which scale
    are all of them?"""

    sentences: Sequence[Sentence]
    united: bool
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
    message = _Message(sentences, bool(units), _scale_of_all(sentences))
    found: list[Figure] = []
    for number, sentence in enumerate(sentences):
        if found and found[-1].at[0] == number - 1 and names_spring(sentence):
            found.append(replace(found[-1], role="spring", resting=False))
        boosted = any(one.role == "boost" and one.at[0] == number - 1 for one in found[-3:])
        found += _in_sentence(number, message, boosted)
    return _with_shared_unit(found, units, sentences)


def _in_sentence(number: int, message: _Message, boosted: bool) -> Iterator[Figure]:
    """The pressures of a sentence; ``boosted`` where the one before it names a boost."""
    sentence = message.sentences[number]
    earlier = message.sentences[number - 1] if number else None
    words = [token.text for token in sentence.tokens]
    if _TYRES.intersection(words):
        return
    resting = _rests(sentence) or (
        # With the solenoid unplugged. It makes 14 psi.
        earlier is not None and words[0] in _GOES_BACK and _rests(earlier) and not boosted
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
        role = role_of(sentence, place)
        if role == "boost" and was_so(message.sentences, number, place):
            role = "past"
        if role is None or (
            item.unit is None
            and role == "boost"
            and not (
                _led(sentence, place)
                or (message.united and _reached(sentence, place))
                or _is_called_so(sentence, place, earlier)
            )
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
    return replace(item, unit=other.unit) if other.unit in KPA_PER else item


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
    if not said or not _SUBJECTS.intersection(subject):
        return False
    following = item.last + 1
    if following == len(sentence.tokens):
        return True
    if sentence.clauses[following] != sentence.clauses[item.last]:
        return True
    return sentence.tokens[following].text in _GOES_ON


def _is_called_so(sentence: Sentence, place: int, earlier: Sentence | None) -> bool:
    """Is a number with a decimal said of the boost? It's 1.15 by 6000; I get little, 0.2 maybe."""
    if not _is_bar_like(sentence, place):
        return False
    talk = {token.text for token in sentence.tokens}
    if earlier is not None:
        talk.update(token.text for token in earlier.tokens)
    if not _BOOST_TALK.intersection(talk):
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


_ASIDES: Final = 5


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
    if after in _NOT_PRESSURES or after in {"/", ":"}:
        return False
    before = tokens[item.first - 1].text if item.first else ""
    return before not in {"/", ":", "\N{POUND SIGN}", "$", "\N{EURO SIGN}", "#"}


def _led(sentence: Sentence, place: int) -> bool:
    item = sentence.items[place]
    before = [token.text for token in sentence.tokens[max(0, item.first - 3) : item.first]]
    after = [token.text for token in sentence.tokens[item.last + 1 : item.last + 3]]
    if any(rpm_of(one) for one in sentence.items[place + 1 : place + 4]) and after[:1] != ["rpm"]:
        return True
    if not (LEADS.intersection(before[-2:]) or "boost" in after or "max" in after):
        return False
    # In fourth gear, at 6 in the morning: a boost is also spoken of.
    every = {token.text for token in sentence.tokens}
    return bool(every & _BOOST_TALK)


_BOOST_TALK: Final = wordset(
    "boost boosts boosting boosted psi bar kpa pressure spring creeps creep creeping creepin spike "
    "spikes spiked stuck sits settles shot hits hit over past above peaks peaked needle "
    "gauge holds "
    "lb lbs overboost max climbs drops falls target peak peaking overshoot overshoots needle "
    "boosting underboost"
)


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
    for candidate in reversed(items[max(0, place - 2) : place]):
        rpm = rpm_of(candidate)
        if rpm is not None:
            return rpm
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
        _NAMES_BOOST.intersection(sentences[number].words())
        for one in bare
        for number in range(max(0, one.at[0] - 1), one.at[0] + 1)
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
