"""Of what a pressure is: the boost, its spring, what should be, what was, a test with a pump.

The words that tell are common English and the trade's; no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, Literal

from expert.evidence.mail.differences import quantity
from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.words import NUMBER, is_negation, wordset
from expert.units import KPA_PER

Role = Literal["boost", "spring", "target", "past", "pump", "limit"]

_SPRING: Final = wordset("spring springs sprung springrate")
_GATE: Final = wordset("wastegate wg gate actuator can cracking rated rating base")
_TARGET: Final = wordset(
    "target targets targeting targetting asked asking asks request requested requests requesting "
    "aim aims aiming supposed should meant want wants wanted expect expects expected expecting "
    "instead tuned mapped normally set agreed planned usually "
    "promised ordered order invoice quoted guaranteed"
)
_TUNED: Final = wordset(
    "retuned remapped reflashed tuned mapped calibrated programmed configured set dialled dialed "
    "built rebuilt specced setup flashed turned wound"
)
_MEANWHILE: Final = wordset(
    "up it the car this engine a an year years month months week weeks ago last by you us here "
    "back boost in was then professionally originally only about around just spring "
    "summer autumn winter stage"
)
_JOINS: Final = wordset("and but then now yet")
_ACTUAL: Final = wordset("actual actually got measured real vs versus")
_PLANNED: Final = wordset(
    "planned agreed mapped asked set wanted expected promised requested ordered correct normal "
    "specified needed"
)
_TOLD: Final = {("you", "said"), ("you", "told"), ("you", "wrote"), ("you", "calculated")}
_MISSES: Final = wordset("overshoots overshoot exceeds exceeded misses undershoots overshot")
_TUNERS: Final = wordset("you we i they he she tuner map ecu workshop shop that which")
_MEANS: Final = wordset(
    "mapped map set asked tuned promised promise wanted want programmed agreed quoted specified "
    "ordered request requested asks calls aimed"
)
_PUMP: Final = wordset("pump pumped pumping compressor bike handpump airline blow blew blowing")
_APPLIED: Final = wordset("pumped pumping pump applied applying blew blowing")
_INTO: Final = wordset("into to in through on onto at")
_OPENS: Final = wordset("open opens opened opening moves moved moving move cracks starts movement")
_OPENING: Final = wordset("open opens opened opening cracks cracked cracking")
_TESTS: Final = wordset("test tested testing tests")
_LEAKS: Final = wordset("leak smoke pressure tested tester")
_PIPES: Final = wordset(
    "pipes pipe hoses pipework system intercooler cooler intake everything plumbing at to with up "
    "the it whole about of was done a all and"
)
_UNTIL: Final = wordset("until till before unless")
_SHOWN: Final = wordset("reads read shows showed says said displays")
_LIMIT: Final = wordset("cut cuts limit limp shuts closes")
# Words before a bare number that make it a boost: stuck at 7, hits 20, past 15.
LEADS: Final = wordset(
    "hit hits hitting shoot shot shoots spike spikes spiked spiking sit sits sitting hold holds "
    "holding make makes making made reach reaches reached peak peaks peaked peaking settle settles "
    "settled over past above at get gets getting to by boost boosts boosting only stuck "
    "creep creeps "
    "creeping see sees seeing saw seen around about build builds stay stays jumps jumped up than "
    "of max from runs running run doing does is was goes went beyond reads reading need "
    "now then drops falls drop fall and an like near nearly almost still hitting touched touches "
    "steady"
)
_USED_TO: Final = wordset("used use")
_EARLIER: Final = wordset("previously originally formerly")
_SAME: Final = wordset("i like as than same")
_RETURNS: Final = wordset(
    "settling dropping falling coming going returning easing levelling sagging tapering fading "
    "dying"
)
_SINCE_THEN: Final = wordset("before for previously until years last")
_WAS: Final = wordset(
    "was made making ran running held holding did doing had gave stood went got reached "
    "pulled boosted"
)
_THEN: Final = (
    ("back", "then"),
    ("in", "those", "days"),
    ("in", "the", "old", "days"),
    ("in", "the", "past"),
    ("once", "upon"),
    ("when", "new"),
    ("when", "it", "was", "new"),
    ("from", "new"),
)
_RAN: Final = wordset("ran made held did stood gave was reached had sat boosted pulled showed")
_PERIODS: Final = wordset("year summer winter autumn spring season month")
_MONTHS: Final = wordset(
    "january february march april may june july august september october november december"
)
_SPANS: Final = wordset("years months ages")
_NOWADAYS: Final = wordset("now nowadays today currently lately recently suddenly anymore")
_TODAY: Final = wordset("now nowadays today")
_MOST_BARE: Final = 45.0
_LATER: Final = wordset("after afterwards since this")
_BARELY: Final = wordset("only barely hardly")
_SENTENCES_ON: Final = 2

# Words of: that is, which for this car is; they may stand between a spring and its number.
_EQUALS: Final = wordset("thats is which means namely ie equals i e being")
_LINKS: Final = wordset(
    "and or that thats is was which would be about so i e for this my actuator it its namely "
    "meaning means of the a around being equals in car case rated at"
)
_BASES: Final = (
    ("base", "pressure"),
    ("base", "boost"),
    ("wastegate", "pressure"),
    ("gate", "pressure"),
    ("actuator", "pressure"),
    ("can", "pressure"),
    ("spring", "pressure"),
    ("on", "its", "own"),
)
_HAS: Final = wordset("is was has : =")
_ARTICLES: Final = wordset("the my this a its our , yellow red blue green new old gate wastegate")
_BOOSTS: Final = wordset("boost pressure it peak makes gets gives and but")
_GATES: Final = wordset("gate wastegate actuator can wg")
_GATE_ALONE: Final = wordset("wastegate gate actuator can")
_PASSING: Final = wordset(
    "past above over beyond under below more less than exceeds exceed exceeding higher lower "
    "stronger weaker softer stiffer new different"
)
_HELD: Final = wordset(
    "only just nothing but does doing gives giving holds holding makes making sits sitting stays "
    "stuck on at runs running gets reaches"
)
_PASSED: Final = wordset("past above over beyond under below")
_BACK: Final = 16
_ON: Final = 9
_MOST_LINKS: Final = 6
_COPULAS: Final = wordset("is thats its equals be exactly happens just means same")


def role_of(sentence: Sentence, place: int) -> Role | None:
    """Of what the pressure at a place is; None where it is none of these, such as a leak test."""
    item = sentence.items[place]
    before = around(sentence, item.first, item.first, 4, 0)[:-1]
    before = [word for word in before if not word[:1].isdigit()]
    after = around(sentence, item.first, item.last, 0, 3)[item.last - item.first + 1 :]
    next_number = next((k for k, word in enumerate(after) if word[:1].isdigit()), len(after))
    after = after[:next_number]
    if _is_spring(sentence, place, before, after):
        return "spring"
    clause = sentence.words(item.clause)
    pumped = _PUMP.intersection(clause) and _OPENS.intersection(clause)
    if {"gate", "wastegate", "actuator", "wg"}.intersection(before[-2:]) and not pumped:
        boost = after[:1] == ["boost"] or after[:2] == ["of", "boost"]
        return "boost" if boost or before[-1] in _JOINS else "spring"
    if pumped:
        return None if _is_denied(clause) else "pump"
    if _APPLIED.intersection(before[-3:]) and _INTO.intersection(after[:1]):
        return None
    if _is_leak_test(sentence, place) or (
        before[-1:] == ["at"] and _OPENING.intersection(before[-2:-1])
    ):
        return None
    if _is_target(sentence, place, before, after):
        return "target"
    shown = _SHOWN.intersection(before[-2:])
    if not shown and (_LIMIT.intersection(before[-3:]) or {"limp", "cuts"}.intersection(clause)):
        return "limit"
    if _is_past(before, after) or _is_history(_own_words(sentence, place)):
        return "past"
    return "boost"


def around(sentence: Sentence, first: int, last: int, before: int = 4, after: int = 3) -> list[str]:
    """The words of the clause that stand near some of its tokens, with these."""
    tokens, places = sentence.tokens, sentence.clauses
    clause = places[first]
    low, high = max(0, first - before), min(len(tokens), last + 1 + after)
    return [tokens[k].text for k in range(low, high) if places[k] == clause]


def _is_spring(sentence: Sentence, place: int, before: list[str], after: list[str]) -> bool:
    item = sentence.items[place]
    if _SPRING.intersection(after[:2]):
        return True
    if _is_supposed_spring(around(sentence, item.first, item.last, 6, 0)):
        return True
    if _SPRING.intersection(before) and not _LEADS_BUT_IS.intersection(before[-1:]):
        return True
    named = before[:-1] if before[-2:] in (["is", "a"], ["was", "a"]) else before
    if named[-2:-1] == ["can"] and named[-1] in {"is", "was", "rated", ":"}:
        return named[-3:-2] in (["the"], ["my"], ["this"], ["actuator"], [])
    if before[-1:] in (["rated"], ["nominal"]):
        return True
    if before[-2:-1] in (["rated"], ["sprung"]) and before[-1] in {"at", "for", "to"}:
        return True
    if tuple(before[-2:]) in _HOLDS_ONE and _GATES.intersection(before[-3:-2]):
        return True
    led = before
    while led and led[-1] in {"is", "was", "of", ":", "a", "an"}:
        led = led[:-1]
    if tuple(led[-2:]) in _BASES or (led[-1:] == ["gives"] and _GATES.intersection(led[-2:-1])):
        return True
    if named[-1:] and named[-1] in _HAS and _is_subject(sentence, place):
        return True
    if _GATE.intersection(after[:2]) and not {"opens", "open"}.intersection(after):
        return True
    return _is_apposed(sentence, place) == "spring"


def _is_subject(sentence: Sentence, place: int) -> bool:
    """The spring in the box is 0.6 bar: does a spring begin the clause?"""
    item = sentence.items[place]
    led = around(sentence, item.first, item.first, _ON, 0)[:-1]
    spring = next((k for k, word in enumerate(led) if word in _SPRING), None)
    if spring is None or not _ARTICLES.issuperset(led[:spring]):
        return False
    return not any(word[:1].isdigit() or word in _BOOSTS for word in led[spring:])


_LEADS_BUT_IS: Final = LEADS - {"is", "was", "of"}


def _is_supposed_spring(words: list[str]) -> bool:
    """Spring is supposed to be 8."""
    spring = next((k for k, word in enumerate(words) if word in _SPRING), len(words))
    between = words[spring + 1 : -1]
    return {"supposed", "meant", "should"}.intersection(between) != set() and not any(
        word[:1].isdigit() for word in between
    )


def _is_apposed(sentence: Sentence, place: int) -> Literal["spring", "both"] | None:
    """What the spring gives, that is 7 psi; only does the spring, 0.8 bar: that is the boost too.

    The number stands alone in its clause, or after words that say that it equals.
    """
    item = sentence.items[place]
    tokens, clauses = sentence.tokens, sentence.clauses
    begun = item.first
    while begun and clauses[begun - 1] == clauses[item.first]:
        begun -= 1
    if begun == 0 or item.first - begun > _MOST_LINKS + 1:
        return None
    links = [token.text for token in tokens[begun : item.first] if token.is_word]
    marks = {token.text for token in tokens[begun : item.first] if not token.is_word}
    if not _LINKS.issuperset(links) or any(one[:1].isdigit() for one in marks):
        return None
    said = [token.text for token in tokens[max(0, begun - _BACK) : begun]]
    numbers = [k for k, word in enumerate(said) if word[:1].isdigit()]
    said = said[numbers[-1] + 1 :] if numbers else said
    if _EQUALS.intersection(links):
        named = bool(_SPRING.intersection(said)) or _holds(said, _BASES)
        return "spring" if named else None
    following = tokens[item.last + 1].text if item.last + 1 < len(tokens) else ","
    ends = item.last + 1 == len(tokens) or clauses[item.last + 1] != clauses[item.last]
    if links or not (ends or following in {"and", "or"}):
        return None
    spoken = [word for word in said if word[:1].isalpha()]
    if _SPRING.intersection(spoken[-1:]) or spoken[-2:] == ["spring", "pressure"]:
        held = _HELD.intersection(spoken[-6:]) and not _PASSED.intersection(spoken[-4:])
        return "both" if held else "spring"
    if spoken[-1:] in (["rated"], ["rating"]) and _GATE_ALONE.intersection(spoken[-4:]):
        return "both" if _HELD.intersection(spoken[-8:]) else "spring"
    if spoken[-1:] and spoken[-1] in _GATE_ALONE:
        return "spring"
    if spoken[-3:] == ["on", "its", "own"] and _GATE_ALONE.intersection(spoken[-8:]):
        return "both"
    return None


def is_spring_too(sentence: Sentence, place: int) -> bool:
    """Is a boost said to be the spring's? 0.8 bar, that is the number of the spring."""
    if _is_apposed(sentence, place) == "both" or _is_held_at_base(sentence, place):
        return True
    _, last = quantity(sentence, place)
    words = [token.text for token in sentence.tokens[last + 1 : last + 1 + _ON]]
    words = [word for word in words if word[0].isalnum()]
    if not words or words[0] not in _STARTS or (sentence.asked and words[0] == "is"):
        return False
    return _equals_spring(words)


def _is_held_at_base(sentence: Sentence, place: int) -> bool:
    """Limited to actuator pressure: 9 psi."""
    first = sentence.items[place].first
    led = [token.text for token in sentence.tokens[max(0, first - _ON) : first]]
    while led and led[-1] in _MARKS:
        led = led[:-1]
    if led[-1:] != ["pressure"] or not _OF_SPRING.intersection(led[-2:-1]):
        return False
    led = led[:-2]
    while led and led[-1] in _ARTICLES:
        led = led[:-1]
    return led[-1:] in (["to"], ["at"], ["on"]) and bool(_HELD_AT.intersection(led[-4:-1]))


# Stuck at wastegate pressure is a way to say that it does not rise, whatever the spring.
_OF_SPRING: Final = wordset("actuator spring can base")
_HOLDS_ONE: Final = {("is", "a"), ("has", "a"), ("has", "the"), ("had", "a"), ("had", "the")}
_MARKS: Final = wordset(": , ( = - of that is thats")
_HELD_AT: Final = wordset(
    "limited stuck stays stay sits sitting only just held capped stops stopped restricted runs "
    "running down remains hangs pinned"
)
_RATED: Final = wordset("rated rating gives sprung set specced")


def is_target_too(sentence: Sentence, place: int) -> bool:
    """Is a boost said to be what was wanted? Back to 15, which is what I asked for."""
    if sentence.asked:
        return False
    _, last = quantity(sentence, place)
    words: list[str] = []
    for token in sentence.tokens[last + 1 : last + 1 + _ON]:
        if token.text[0].isalnum():
            words.append(token.text)
    if words[:1] == ["boost"]:
        words = words[1:]
    passed = _EVER if words[:1] == ["as"] else _STEADY if words[:1] == ["and"] else None
    if passed and passed.intersection(words[1:2]):
        words = words[2:]
    begun = 0
    while begun < len(words) and words[begun] in _TO_MEANT:
        begun += 1
    linked, said = words[:begun], words[begun:]
    if said[:1] == ["what"] and linked:
        return _names_plan(said[1:])
    if linked[-1:] == ["as"]:
        return bool(said) and said[0] in _COMMANDED
    while said and said[0] in {"the", "my", "your", "our"}:
        said = said[1:]
    following = said[1:2] if said[1:2] != ["is"] else said[2:3]
    stands = {"is", "being", "thats", "on", "where"}.intersection(linked)
    return bool(stands and said) and said[0] in _GOALS and not _is_digits(following)


def _is_digits(words: Sequence[str]) -> bool:
    return bool(words) and words[0][0].isdigit()


def _names_plan(words: Sequence[str]) -> bool:
    """I set; the map wants; we had asked for."""
    if any(is_negation(word) for word in words[:4]):
        return False
    return bool(_PLANNERS.intersection(words[:2]) and _MEANS.intersection(words[1:4]))


_BEGINNINGS: Final = wordset("when but while and where though although since")
_PLANS: Final = wordset("map tune table file setup")
_PLANNERS: Final = _TUNERS | wordset("it ive weve youve")
_TO_MEANT: Final = wordset(
    "which is being thats that exactly just spot dead on where as and so right"
)
_COMMANDED: Final = wordset(
    "commanded requested asked planned mapped set wanted intended ordered specified agreed"
)
_EVER: Final = wordset("ever always usual before")
_STEADY: Final = wordset("holds stays sits")
_GOALS: Final = wordset("target plan goal setpoint setting")


_STARTS: Final = _EQUALS | wordset("that it its just exactly so the same what this ie basically")


_REFERS: Final = wordset("that thats which this exactly same")


def names_spring(sentence: Sentence) -> bool:
    """Does a sentence say of the number before it that it is the spring's?"""
    words = sentence.words()
    if sentence.asked or not words or words[0] not in _REFERS:
        return False
    return bool(_COPULAS.intersection(words[:4])) and _equals_spring(words)


def _equals_spring(words: Sequence[str]) -> bool:
    end = next((k for k, word in enumerate(words) if word in _SPRING), None)
    if end is None:
        # What my actuator is rated.
        end = next((k for k, word in enumerate(words) if word in _GATES), None)
        if end is None or not _RATED.intersection(words[end + 1 : end + 4]):
            return False
    said = words[:end]
    return not any(
        word in _PASSING or is_negation(word) or word[:1].isdigit() or word == "from"
        for word in said
    )


def _is_leak_test(sentence: Sentence, place: int) -> bool:
    """Pressure tested the pipes to 1.5 bar; a smoke test at 2 psi."""
    item = sentence.items[place]
    led = around(sentence, item.first, item.first, _ON, 0)[:-1]
    end = len(led)
    while end and led[end - 1] in _PIPES:
        end -= 1
    if not end or led[end - 1] not in _TESTS or end == len(led):
        return False
    piped = bool((_PIPES - _SMALL).intersection(led[end:]))
    return piped or bool(_LEAKS.intersection(led[max(0, end - 2) : end - 1]))


_SMALL: Final = wordset("at to with up the it whole about of was done a all and")


def _is_denied(clause: list[str]) -> bool:
    """The valve does not open at 10 psi of the pump; but: not until 10 psi."""
    return any(is_negation(word) for word in clause) and not _UNTIL.intersection(clause)


def _is_target(sentence: Sentence, place: int, before: list[str], after: list[str]) -> bool:
    called = after[:1] == ["target"] and after[1:2] not in (["is"], ["was"], [":"])
    if _TARGET.intersection(_own_part(before)) or called or _is_share(sentence, place):
        return True
    item = sentence.items[place]
    led = around(sentence, item.first, item.first, 10, 0)[:-1]
    if _is_replaced(led) or _is_tuned_to(led):
        return True
    if after[:1] in (["map"], ["tune"], ["file"], ["setup"]):
        return True
    if before[-2:-1] in (["map"], ["table"]) and before[-1] in {"is", "says", ":"}:
        return True
    if after[:1] == ["by"] and _MISSES.intersection(before[-2:]):
        return True
    if after[:1] in (["is"], ["was"]) and _PLANNED.intersection(after[1:3]):
        return True
    if _is_normal(before, after) or _is_in_map(before, after):
        return True
    led_by = sentence.tokens[item.first - 1].text if item.first else ","
    begins = not led_by[0].isalnum() or led_by in _BEGINNINGS
    if begins and after[:1] in (["is"], ["being"]) and is_target_too(sentence, place):
        return True
    if any(pair in _TOLD for pair in pairwise(before)):
        return True
    # The 1.4 bar that you mapped.
    said = [word for word in after if word not in {"that", "which", "the"}]
    return bool(said[1:]) and said[0] in _TUNERS and said[1] in _MEANS


def _is_normal(before: list[str], after: list[str]) -> bool:
    """Normal is 1.2 bar; where 1.2 bar should be; but not: 14 psi should be safe."""
    if before[-2:-1] in (["normal"], ["usual"], ["mark"]) and before[-1] in {"is", ":"}:
        return True
    return after[:2] == ["should", "be"] and not _FINE.intersection(after[2:])


def _is_in_map(before: list[str], after: list[str]) -> bool:
    """The map is for 1.2 bar; a tune for 18 psi; he put 18 psi in the map."""
    if before[-1:] == ["for"]:
        led = before[:-2] if before[-2:-1] == ["is"] else before[:-1]
        return bool(_PLANS.intersection(led[-1:]))
    return after[:2] == ["in", "the"] and bool(_PLANS.intersection(after[2:3]))


_FINE: Final = wordset("fine safe ok okay enough possible doable good no plenty easy")


def _own_part(led: list[str]) -> list[str]:
    """The words before a number from the last that begins another thought: tuned and goes to."""
    for k in range(len(led) - 1, -1, -1):
        if led[k] in _JOINS | _ACTUAL:
            return led[k + 1 :]
    return led


def _is_replaced(led: list[str]) -> bool:
    """Instead of going on to 1.4 bar."""
    for k, word in enumerate(led):
        if (word == "instead" and led[k + 1 : k + 2] == ["of"]) or (
            word == "rather" and led[k + 1 : k + 2] == ["than"]
        ):
            return not any(one[:1].isdigit() for one in led[k:])
    return False


def _is_tuned_to(led: list[str]) -> bool:
    """Retuned a year ago to 18 psi."""
    while led and led[-1] in {"about", "around", "roughly", "a", "run"}:
        led = led[:-1]
    if led[-1:] not in (["to"], ["for"]):
        return False
    end = len(led) - 1
    while end and led[end - 1] in _MEANWHILE:
        end -= 1
    return bool(end) and led[end - 1] in _TUNED


def _is_share(sentence: Sentence, place: int) -> bool:
    """Is it the whole of a share? 6 psi of 14; 8 out of 15 psi."""
    first = sentence.items[place].first
    if not place or sentence.tokens[first - 1].text != "of":
        return False
    before = [one.stem for one in sentence.items[max(0, place - 2) : place]]
    return before[-1] == NUMBER or before == [NUMBER, "out"]


def _is_past(before: list[str], after: list[str]) -> bool:
    if _USED_TO.intersection(before) or _EARLIER.intersection(before + after):
        return True
    if {"was", "ran", "made", "held"}.intersection(before[-2:]):
        return bool(_SINCE_THEN.intersection(after))
    if after[:1] == ["before"] and _RETURNS.intersection(after[1:2]):
        # Hits 21 before settling.
        return False
    return "before" in after[:1] + after[-1:] and not _SAME.intersection(after)


def _is_history(clause: list[str]) -> bool:
    """It was always making 1.2 bar; back then it did 17 psi; but not: it has always made."""
    if _NOWADAYS.intersection(clause):
        return False
    said = _WAS.intersection(clause)
    if "always" in clause and said - {"making", "running", "holding", "doing"}:
        return not {"has", "have"}.intersection(clause)
    return _holds(clause, _THEN)


def was_so(sentences: Sequence[Sentence], number: int, place: int) -> bool:
    """Is a boost one of earlier days, as the words after it tell?

    In October it stood at one bar. Now it goes on to 1.2.
    """
    sentence = sentences[number]
    item = sentence.items[place]
    own = _own_words(sentence, place)
    led = around(sentence, item.first, item.first, 4, 0)[:-1]
    if not _RAN.intersection(led) or {"has", "have"}.intersection(led):
        return False
    if _NOWADAYS.intersection(own):
        return False
    if _names_now(sentence, place):
        return True
    rest = [token.text for token in sentence.tokens[item.last + 1 :]]
    if not _names_time(own):
        return False
    later = [rest, *(one.words() for one in sentences[number + 1 : number + 1 + _SENTENCES_ON])]
    return any(
        _NOWADAYS.intersection(words)
        or (_BARELY.intersection(words) and any(word[0].isdigit() for word in words))
        for words in later
    ) or (_LATER.intersection(rest) != set() and any(word[0].isdigit() for word in rest))


def _own_words(sentence: Sentence, place: int) -> list[str]:
    """The words of the clause near a number that belong to no other number."""
    item = sentence.items[place]
    led = around(sentence, item.first, item.first, _ON, 0)[:-1]
    numbers = [k for k, word in enumerate(led) if word[:1].isdigit()]
    led = led[numbers[-1] + 1 :] if numbers else led
    after = around(sentence, item.last, item.last, 0, _ON)[1:]
    parted = _JOINS | {"instead", "than"}
    end = next(
        (k for k, word in enumerate(after) if word[:1].isdigit() or word in parted), len(after)
    )
    return led + after[:end]


def _names_now(sentence: Sentence, place: int) -> bool:
    """Now it is 9 psi; 9 psi now: the word stands near another pressure."""
    others = [
        one.first
        for other, one in enumerate(sentence.items)
        if other != place
        and one.stem == NUMBER
        and (one.unit in KPA_PER or (one.unit is None and 0.0 < one.value <= _MOST_BARE))
    ]
    return any(
        token.text in _TODAY and any(k - 3 <= first <= k + 5 for first in others)
        for k, token in enumerate(sentence.tokens)
    )


def _names_time(words: list[str]) -> bool:
    for word, following in pairwise([*words, ""]):
        if (
            (word == "ever" and following == "since")
            or (word == "for" and following in _SPANS)
            or (word == "last" and following in _PERIODS)
            or (word == "in" and following in _MONTHS)
            or (word == "when" and following == "new")
            or (word in _PERIODS and following == "ago")
            or word in {"until", "till", "before"}
        ):
            return True
    return False


def _holds(words: Sequence[str], runs: Sequence[tuple[str, ...]]) -> bool:
    return any(
        tuple(words[k : k + len(run)]) == run
        for run in runs
        for k, word in enumerate(words)
        if word == run[0]
    )
