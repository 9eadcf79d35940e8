"""Pressures that a customer names: in which unit, gauge or absolute, and of what.

What is not clear stays unclear: a bare number has no unit unless all other pressures of the
message share one, and a large number of kPa may be absolute.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from expert.evidence.mail.sentences import Item, Sentence
from expert.evidence.mail.words import FILLERS, NUMBER, wordset
from expert.units import KPA_PER

Role = Literal["boost", "spring", "target", "past", "pump", "limit"]
Scale = Literal["gauge", "absolute", "unclear"]

# From here up a number of kPa may as well be absolute: outside air alone is about 100.
MAY_BE_ABSOLUTE_KPA: Final = 90.0
OUTSIDE_AIR_KPA: Final = 101.325
_LEAST_KPA: Final = 3.0
_MOST_KPA: Final = 600.0
_LEAST_BARE_KPA: Final = 10.0
_PSI_LIKE: Final = (2.0, 45.0)
_BAR_LIKE: Final = (0.2, 2.6)
_RPM: Final = (1500.0, 9900.0)

_SPRING: Final = wordset("spring springs sprung springrate")
_GATE: Final = wordset("wastegate wg gate actuator can cracking rated rating base")
_TARGET: Final = wordset(
    "target targets targeting targetting asked asking request requested requesting aim aiming "
    "supposed should meant want wanted expect expected expecting instead tuned mapped normally "
    "set agreed planned usually"
)
_PAST: Final = wordset("previously originally formerly used was before ran")
_PUMP: Final = wordset("pump pumped pumping compressor bike handpump blow blew blowing")
_OPENS: Final = wordset("open opens opened opening moves moved moving cracks starts")
_LIMIT: Final = wordset("cut cuts limit limp shuts closes")
_ELSEWHERE: Final = wordset(
    "fuel oil tyre tyres tire tires coolant brake brakes battery vacuum vac compression cylinder "
    "cylinders rail regulator inhg head exhaust backpressure"
)
_TYRES: Final = wordset("tyre tyres tire tires")
_MEASURES: Final = wordset(
    "target spring than what where the my plan normal usual it set requested"
)
_GAUGE_WORDS: Final = wordset("gauge gage boost relative barg psig kpag")
_ABSOLUTE_WORDS: Final = wordset("absolute abs psia bara kpaa")
_DOUBT: Final = wordset("dunno unsure sure whether idea know")
# Words before a bare number that make it a boost: stuck at 7, hits 20, past 15.
_LEADS: Final = wordset(
    "hit hits hitting shoot shot shoots spike spikes spiked spiking sit sits sitting hold holds "
    "holding make makes making made reach reaches reached peak peaks peaked peaking settle settles "
    "settled over past above at get gets getting to by boost boosts boosting only stuck "
    "creep creeps "
    "creeping see sees seeing saw seen around about build builds stay stays jumps jumped up than "
    "of max from runs running run doing does is was goes went beyond reads reading need "
    "now then drops falls drop fall and an like near nearly almost still hitting touched touches"
)
_NOT_PRESSURES: Final = wordset(
    "gear gears hp bhp rpm mile miles year years week weeks month months day days hour hours times "
    "hose hoses bolt bolts inch inches mm port ports am pm pounds quid euro euros dollars th"
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


def figures_of(sentences: list[Sentence]) -> list[Figure]:
    """Every pressure of a message, in order."""
    found: list[Figure] = []
    for number, sentence in enumerate(sentences):
        found += _in_sentence(number, sentence)
    return _with_shared_unit(found)


def _in_sentence(number: int, sentence: Sentence) -> list[Figure]:
    items, tokens = sentence.items, sentence.tokens
    words = [token.text for token in tokens]
    resting = holds_run([word for word in words if word not in FILLERS], _RESTING)
    found: list[Figure] = []
    for place, item in enumerate(items):
        if item.stem != NUMBER:
            continue
        if item.unit not in KPA_PER and (item.unit is not None or not _is_bare(sentence, place)):
            continue
        around = _around(sentence, item)
        if _TYRES.intersection(words) or _ELSEWHERE.intersection(around):
            continue
        if _is_difference(sentence, item):
            continue
        role = _role(sentence, place)
        if item.unit is None and role == "boost" and not _led(sentence, place):
            continue
        scale = _scale(words, item, words[item.first : item.last + 3], role)
        kpa = _kpa(item.value, item.unit, scale)
        if item.unit is not None and not _plausible(item.value * KPA_PER[item.unit]):
            continue
        found.append(
            Figure(
                item.value,
                item.unit,
                scale,
                kpa,
                role,
                tokens[item.first].start,
                tokens[item.last].end,
                (number, place),
                rpm_near(items, place),
                resting and role == "boost",
            )
        )
    return found


def _is_difference(sentence: Sentence, item: Item) -> bool:
    """Is it said by how much? By 3 psi; 5 psi over target."""
    words = [token.text for token in sentence.tokens]
    after = words[item.last + 1 : item.last + 3]
    before = [word for word in words[max(0, item.first - 2) : item.first] if word != "about"]
    signed = words[max(0, item.first - 3) : item.first]
    if before[-1:] == ["by"] or signed[-1:] == ["\N{PLUS-MINUS SIGN}"] or signed == ["+", "/", "-"]:
        return True
    if after[:1] in (["over"], ["above"], ["under"], ["below"]):
        # 14 psi above 4000 rpm is a boost.
        return bool(after[1:]) and after[1] in _MEASURES
    named = set(words[max(0, item.first - 4) : item.first])
    if "of" in named and named & {"overshoot", "spike", "swing", "drop", "loss", "rise"}:
        return True
    return after[:1] in (["more"], ["higher"], ["lower"], ["short"], ["overshoot"], ["spike"])


def _plausible(kpa: float) -> bool:
    return _LEAST_KPA <= kpa <= _MOST_KPA


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
    if not (_LEADS.intersection(before[-2:]) or "boost" in after or "max" in after):
        return False
    # In fourth gear, at 6 in the morning: a boost is also spoken of.
    every = {token.text for token in sentence.tokens}
    return bool(every & _BOOST_TALK)


_BOOST_TALK: Final = wordset(
    "boost boosts boosting boosted psi bar kpa pressure spring creeps creep creeping creepin spike "
    "spikes spiked stuck sits settles shot hits hit over past above peaks peaked needle "
    "gauge holds "
    "lb lbs overboost max climbs drops falls target"
)


def _around(sentence: Sentence, item: Item, before: int = 4, after: int = 3) -> list[str]:
    """The words of the clause that stand near."""
    tokens, places = sentence.tokens, sentence.clauses
    clause = places[item.first]
    low, high = max(0, item.first - before), min(len(tokens), item.last + 1 + after)
    return [tokens[k].text for k in range(low, high) if places[k] == clause]


def _role(sentence: Sentence, place: int) -> Role:
    item = sentence.items[place]
    before = _around(sentence, item, 4, 0)[:-1] if item.first else []
    before = [word for word in before if not word[:1].isdigit()]
    after = _around(sentence, item, 0, 3)
    own = item.last - item.first + 1
    after = after[own:]
    next_number = next((k for k, word in enumerate(after) if word[:1].isdigit()), len(after))
    after = after[:next_number]
    if _SPRING.intersection(after[:2]):
        return "spring"
    if _is_supposed_spring(_around(sentence, item, 6, 0)):
        return "spring"
    if _SPRING.intersection(before) and not _LEADS.intersection(before[-1:]) - {"is", "was", "of"}:
        return "spring"
    if _GATE.intersection(after[:2]) and not {"opens", "open"}.intersection(after):
        return "spring"
    clause = sentence.words(item.clause)
    pumped = _PUMP.intersection(clause) and _OPENS.intersection(clause)
    if {"gate", "wastegate", "actuator", "wg"}.intersection(before[-2:]) and not pumped:
        return "boost" if after[:1] == ["boost"] else "spring"
    if pumped:
        return "pump"
    called = after[:1] == ["target"] and after[1:2] not in (["is"], ["was"], [":"])
    if _TARGET.intersection(before) or called or _is_share(sentence, place):
        return "target"
    if _LIMIT.intersection(before[-3:]) or {"limp", "cuts"}.intersection(clause):
        return "limit"
    if _is_past(before, after):
        return "past"
    return "boost"


def _is_supposed_spring(words: list[str]) -> bool:
    """Spring is supposed to be 8."""
    spring = next((k for k, word in enumerate(words) if word in _SPRING), len(words))
    between = words[spring + 1 : -1]
    return {"supposed", "meant", "should"}.intersection(between) != set() and not any(
        word[:1].isdigit() for word in between
    )


def _is_share(sentence: Sentence, place: int) -> bool:
    """Is it the whole of a share? 6 psi of 14; 8 out of 15 psi."""
    first = sentence.items[place].first
    if not place or sentence.tokens[first - 1].text != "of":
        return False
    before = [one.stem for one in sentence.items[max(0, place - 2) : place]]
    return before[-1] == NUMBER or before == [NUMBER, "out"]


def _is_past(before: list[str], after: list[str]) -> bool:
    if {"used", "use"}.intersection(before) or {
        "previously",
        "originally",
        "formerly",
    }.intersection(before + after):
        return True
    if {"was", "ran", "made", "held"}.intersection(before[-2:]):
        return bool({"before", "for", "previously", "until", "years", "last"}.intersection(after))
    return after[:1] == ["before"] and "i" not in after


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
        if kpa >= MAY_BE_ABSOLUTE_KPA and not _GAUGE_WORDS.intersection(beside):
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


def _with_shared_unit(found: list[Figure]) -> list[Figure]:
    """Bare numbers read in the one unit that every other pressure of the message has."""
    units = {figure.unit for figure in found if figure.unit is not None}
    if len(units) != 1:
        return found
    (unit,) = units
    return [_in_unit(one, unit) if one.unit is None else one for one in found]


def _in_unit(figure: Figure, unit: str) -> Figure:
    """A bare number read in a unit, where it makes a pressure that a car can have."""
    kpa = figure.value * KPA_PER[unit]
    if figure.scale == "absolute" or not _LEAST_BARE_KPA <= kpa <= _MOST_KPA:
        return figure
    unclear = unit == "kPa" and kpa >= MAY_BE_ABSOLUTE_KPA and figure.role != "spring"
    scale: Scale = "unclear" if unclear else "gauge"
    return replace(figure, unit=unit, scale=scale, kpa=_kpa(figure.value, unit, scale))
