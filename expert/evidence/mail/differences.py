"""Pressures that are no pressure in the pipe: by how much, how fast, and what a sensor spans.

``4 psi over``, ``loses 8 psi`` and ``one psi for each thousand revs`` say nothing of how high the
boost is. The words that tell are common English; no source.
"""

from __future__ import annotations

from typing import Final

from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.words import NUMBER, wordset

# A change is rarely larger; what overshoots 22 psi is at 22 psi. 6 and 9 psi.
_SMALL_KPA: Final = 41.5
_LARGEST_KPA: Final = 62.5
_NEAR: Final = 8
# Two levels that boost swings between are not further apart, by ratio; bare numbers of bar.
_MOST_APART: Final = 2.0
_LEAST_LEVEL_BAR: Final = 0.6
_MOST_LEVEL_BAR: Final = 2.9
_MOST_JOINS: Final = 2

_HEDGES: Final = wordset(
    "about around some roughly maybe perhaps approx approximately nearly almost only just another "
    "a an good further say like possibly probably ca circa another ~ ("
)
_JOINS: Final = wordset("or to - \N{EN DASH} and down up")
_WAYS: Final = wordset("up down off over out")
_COMPARES: Final = wordset("less more than at least most as much")
_PLACES: Final = wordset("over above under below past beyond")
_MEASURES: Final = wordset(
    "target spring than what where the my plan normal usual it set requested our your base his her "
    "setpoint spec standard stock that this"
)
# After "over" these begin another thought: 5 psi over, then it settles.
_GOES_ON: Final = wordset("then and but before when for on in until till as at again briefly which")
_OPEN_AIR: Final = wordset("atmosphere atmospheric ambient atmo atmos outside barometric")
_MORE: Final = {
    "more": wordset("or like"),
    "less": wordset("so"),
    "higher": wordset("up"),
    "lower": wordset("down"),
    "short": wordset("shift shifts"),
    "extra": frozenset[str](),
    "lost": frozenset[str](),
    "gained": frozenset[str](),
    "missing": frozenset[str](),
    "overshoot": frozenset[str](),
    "undershoot": frozenset[str](),
    "spike": frozenset[str](),
    "swing": frozenset[str](),
    "swings": frozenset[str](),
    "ripple": frozenset[str](),
    "drop": frozenset[str](),
    "difference": frozenset[str](),
    "apart": frozenset[str](),
    "adrift": frozenset[str](),
    "shy": frozenset[str](),
}
_AGAINST: Final = (wordset("on since compared against"), wordset("from compared against at"))
_RATES: Final = wordset("per each every")
_EACH: Final = wordset("thousand rpm gear gears second minute step click turn degree percent revs")
_OVER_ALL: Final = wordset(
    "whole entire full last first rev range revs top rest next long second hill"
)
# Said of a difference where they end their clause: 4 kPa out.
_ENDS: Final = wordset("out down up off")
_SIZES: Final = wordset(
    "overshoot overshoots undershoot swing swings drop drops loss losses rise rises gap difference "
    "ripple amplitude fluctuation fluctuations wobble variation increase decrease gain offset "
    "error deviation delta oscillation steps wave waves"
)
_LOSES: Final = wordset(
    "lose loses losing lost gain gains gaining gained dropping drops dropped drop"
)
_MOVES: Final = wordset(
    "falls fell fall falling rises rose rise rising climbs climbed climb creeps crept creep "
    "creeping swings swing swinging swung fluctuates fluctuate fluctuating varies vary varying "
    "surges surge pulses ripples dances hunts jitters shakes differs differ "
    "oscillates oscillate oscillating wobbles wobble wobbling bounces overshoots overshoot "
    "overshooting adds sags dips"
)
_STANDS: Final = wordset("is its was are boost still now im were")
_SWINGS: Final = wordset(
    "overshoot overshoots overshooting overshot oscillates oscillating oscillation fluctuates "
    "fluctuating amplitude wobbles wobble swinging"
)
_OVER: Final = (("over", "target"), ("over", "the", "target"), ("past", "target"))
_LEVELS: Final = wordset(
    "to at from between past hits hit makes make made reaches reach reached sees see reads read "
    "shows show holds hold gives give does get gets is was runs ran"
)
_COOLERS: Final = wordset("cooler intercooler ic fmic core throttle filter valve turbo")
_SENSORS: Final = wordset("sensor sensors sender transducer transducers")
_SENSOR_KINDS: Final = wordset("absolute abs gauge map boost pressure rated manifold type")
_SPANS: Final = wordset("range ranges span spans rated limit limited follows good measure measures")


def quantity(sentence: Sentence, place: int) -> tuple[int, int]:
    """The first and last token of the whole quantity: all of ``3 or 4 psi``."""
    items = sentence.items
    first, last = items[place].first, items[place].last
    for other in items[max(0, place - 2) : place]:
        if other.stem == NUMBER and _joined(sentence, other.last, first):
            first = other.first
            break
    for other in items[place + 1 : place + 3]:
        if other.stem == NUMBER and _joined(sentence, last, other.first):
            last = other.last
            break
    return first, last


def _is_between(sentence: Sentence, place: int, kpa: float | None) -> bool:
    """Swings 0.9 to 1.1: two levels near each other, and no difference of 0.9 to 1.1."""
    first, last = quantity(sentence, place)
    joins = {token.text for token in sentence.tokens[first : last + 1]}
    if not joins & {"to", "-", "\N{EN DASH}"}:
        return False
    values = [
        one.value
        for one in sentence.items[max(0, place - 2) : place + 3]
        if one.stem == NUMBER and first <= one.first and one.last <= last
    ]
    if len(values) < 2 or max(values) > _MOST_APART * min(values):
        return False
    bar = kpa is None and _LEAST_LEVEL_BAR <= max(values) <= _MOST_LEVEL_BAR
    return bar or (kpa is not None and kpa > _SMALL_KPA)


def _joined(sentence: Sentence, last: int, first: int) -> bool:
    """Are two numbers one quantity: 3 or 4, 12 to 14, 1.3 down to 0.8?"""
    between = [token.text for token in sentence.tokens[last + 1 : first]]
    return 0 < len(between) <= _MOST_JOINS and _JOINS.issuperset(between)


def is_difference(
    sentence: Sentence, place: int, kpa: float | None, earlier: Sentence | None = None
) -> bool:
    """Is it said by how much, or how fast? By 3 psi; 5 psi over target; a psi per 1000 rpm.

    ``kpa`` is its size where the unit is known; ``earlier`` the sentence before its own.
    """
    first, last = quantity(sentence, place)
    words = [token.text for token in sentence.tokens]
    before = words[max(0, first - _NEAR) : first]
    after = _rest_of_clause(sentence, last)
    small = kpa is not None and kpa <= _SMALL_KPA
    lesser = (kpa is None or kpa <= _LARGEST_KPA) and not _at_revs(after)
    lesser = lesser and not _is_between(sentence, place, kpa)
    return (
        _is_signed(before)
        or _is_compared(after)
        or _is_named(before, lesser)
        or _is_moved(before, lesser)
        or (small and _is_swing(words, before, earlier))
    )


def is_span(sentence: Sentence, place: int) -> bool:
    """Is it what a sensor can read? A 3 bar sensor; a sensor that is good for 2.5 bar."""
    item = sentence.items[place]
    words = [token.text for token in sentence.tokens]
    after = _rest_of_clause(sentence, item.last)
    kinds = 0
    while kinds < len(after) and after[kinds] in _SENSOR_KINDS:
        kinds += 1
    named = after[kinds : kinds + 1]
    if (
        named
        and named[0] in _SENSORS
        and after[kinds + 1 : kinds + 2] not in (["reads"], ["reading"])
    ):
        return True
    before = words[max(0, item.first - _NEAR) : item.first]
    sensor = bool(_SENSORS.intersection(words))
    if sensor and named == ["one"] and before[-1:] in (["a"], ["an"]):
        return True
    return sensor and bool(_SPANS.intersection(before))


def _rest_of_clause(sentence: Sentence, last: int, most: int = 6) -> list[str]:
    tokens, clauses = sentence.tokens, sentence.clauses
    found = []
    for k in range(last + 1, min(len(tokens), last + 1 + most)):
        if clauses[k] != clauses[last]:
            break
        found.append(tokens[k].text)
    return found


def _at_revs(after: list[str]) -> bool:
    """Rises 7 psi at 3000: it is at 7 psi there."""
    return after[:1] == ["at"] and after[1:2] != [] and after[1][:1].isdigit()


def _unhedged(words: list[str]) -> list[str]:
    end = len(words)
    while end and words[end - 1] in _HEDGES:
        end -= 1
    return words[:end]


def _is_signed(before: list[str]) -> bool:
    if before[-1:] == ["\N{PLUS-MINUS SIGN}"] or before[-3:] == ["+", "/", "-"]:
        return True
    if before[-2:] == ["plus", "minus"]:
        return True
    if before[-3:] in (["plus", "or", "minus"], ["plus", "and", "minus"]):
        return True
    end = len(before)
    while end and (before[end - 1] in _HEDGES or before[end - 1] in _COMPARES):
        end -= 1
    return before[end - 1 : end] in (["by"], ["within"])


def _is_compared(after: list[str]) -> bool:
    if not after:
        return False
    word, following = after[0], after[1:2]
    if word in _PLACES:
        if not following:
            return word != "past"
        # 14 psi above 4000 rpm is a boost, and so is 140 kPa over atmosphere.
        if _OPEN_AIR.intersection(after[1:3]):
            return False
        if word == "over" and _OVER_ALL.intersection(after[2:3]):
            return False
        return following[0] in _MEASURES or (word == "over" and following[0] in _GOES_ON)
    if word in _MORE:
        return not _MORE[word].intersection(following)
    if word in _ENDS:
        return not following or following[0] in _AGAINST[word == "out"]
    if word == "of":
        return bool(_SIZES.intersection(following))
    if word == "too":
        return bool(following) and following[0] in {"much", "little", "many"}
    if word in {"each", "either"} and following and following[0] in {"way", "side", "direction"}:
        return True
    if word in _RATES or (word == "for" and _RATES.intersection(following)):
        counted = after[2:4] if word == "for" else after[1:3]
        return any(one in _EACH or one[:1].isdigit() for one in counted)
    if word == "between":
        return bool(following) and following[0] in {"them", "both"}
    return word in {"across", "through", "over"} and bool(_COOLERS.intersection(after[1:4]))


def _is_named(before: list[str], lesser: bool) -> bool:
    """A drop of 3 psi; amplitude 3 psi; the pressure drop is 4 psi."""
    led = _unhedged(before)
    if led[-1:] == ["of"] or led[-1:] == [":"]:
        named = set(led[-4:-1])
        return bool(named & _SIZES) or (lesser and "spike" in named)
    if led[-1:] in (["is"], ["was"]):
        for k, word in enumerate(led[:-1]):
            if word in _SIZES and led[max(0, k - 1) : k] in (
                ["pressure"],
                ["boost"],
                ["a"],
                ["the"],
                ["this"],
                ["that"],
                [],
            ):
                return lesser
    return lesser and bool(led) and led[-1] in _SIZES


def _is_moved(before: list[str], lesser: bool) -> bool:
    """Loses 8 psi; falls off about 3 psi; but not: falls to 3 psi."""
    led = _unhedged(before)
    if lesser and led[-1:] in (["down"], ["up"]) and led[-2:-1] and led[-2] in _STANDS:
        return True
    if led and led[-1] in _WAYS:
        led = _unhedged(led[:-1])
    if not led:
        return False
    return led[-1] in {"lose", "loses", "losing", "lost", "gain", "gains", "gaining", "gained"} or (
        lesser and (led[-1] in _LOSES or led[-1] in _MOVES)
    )


def _is_swing(words: list[str], before: list[str], earlier: Sentence | None) -> bool:
    """A small figure beside an overshoot is its size."""
    led = _unhedged(before)
    if led and led[-1] in _LEVELS:
        return False
    if _names_swing(words):
        return True
    return not led and earlier is not None and _names_swing(earlier.words())


def _names_swing(words: list[str]) -> bool:
    if _SWINGS.intersection(words):
        return True
    return any(
        tuple(words[k : k + len(run)]) == run
        for run in _OVER
        for k, word in enumerate(words)
        if word == run[0]
    )
