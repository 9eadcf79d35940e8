"""Sentences of a message and their clauses, with numbers and their units taken together."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from expert.evidence.mail.spelt import spelt_pressure
from expert.evidence.mail.words import FILLERS, NUMBER, Token, Vocabulary

# A line shorter than this was ended on purpose; a longer one may have been wrapped.
_WRAPPED_FROM: Final = 46
_ENDS: Final = frozenset(".!?;\N{HORIZONTAL ELLIPSIS}")
_PAUSES: Final = frozenset(',()[]"\N{EN DASH}\N{EM DASH}')
_TURNS: Final = frozenset({"but", "though", "although", "however", "whereas", "except", "because"})
_LIST_MARKS: Final = frozenset("-*\N{BULLET}>")
MOST_SENTENCE_WORDS: Final = 80
_LONGEST_HEADING: Final = 3
# The stem of all noises that are written as they sound.
IMITATED: Final = "tututu"
_TIMES: Final = 3
_LONGEST_SYLLABLE: Final = 6
_SYLLABLES: Final = re.compile(
    r"[sp]?([bcdfghjklmnpqrstvwxyz]{1,2}[aeiou])\1{2,10}|[bdgkpt]?r{3,20}[a-z]{0,2}|ps+h+"
)
_SAID_THRICE: Final = frozenset({"very", "no", "so", "up", "down", "help", "really", "far", "and"})

_KILOGRAMS: Final = frozenset({"kg", "kgf", "kp", "kgs", "kilo", "kilos"})
# A unit as people write it -> its name in expert.units, or another quantity.
UNITS: Final = {
    "psi": "psi",
    "psig": "psi",
    "psia": "psi",
    "lb": "psi",
    "lbs": "psi",
    "pound": "psi",
    "pounds": "psi",
    "pd": "psi",
    "bar": "bar",
    "bars": "bar",
    "barg": "bar",
    "bara": "bar",
    "kpa": "kPa",
    "kpag": "kPa",
    "kpaa": "kPa",
    "mbar": "mbar",
    "hpa": "hPa",
    "rpm": "rpm",
    "revs": "rpm",
    "k": "thousand",
    "krpm": "thousand",
    "grand": "thousand",
    "duty": "percent",
    "percent": "percent",
    "pct": "percent",
    "th": "ordinal",
    "nd": "ordinal",
    "rd": "ordinal",
    "st": "ordinal",
    "mm": "length",
    "cm": "length",
    "m": "length",
    "ml": "volume",
    "l": "volume",
    "litre": "volume",
    "v": "volts",
    "volt": "volts",
    "volts": "volts",
    "ohm": "ohms",
    "ohms": "ohms",
    "hz": "hertz",
    "mph": "speed",
    "kmh": "speed",
    "kph": "speed",
    "sec": "time",
    "secs": "time",
    "second": "time",
    "seconds": "time",
    "s": "time",
    "min": "time",
    "mins": "time",
    "minute": "time",
    "minutes": "time",
    "hour": "time",
    "hours": "time",
    "day": "time",
    "days": "time",
    "week": "time",
    "weeks": "time",
    "month": "time",
    "months": "time",
    "year": "time",
    "years": "time",
    "yrs": "time",
    "miles": "distance",
    "mile": "distance",
    "km": "distance",
    "kms": "distance",
    "hp": "power",
    "bhp": "power",
    "kw": "power",
    "ps": "power",
    "am": "clock",
    "pm": "clock",
    "gear": "ordinal",
    "degrees": "temperature",
    "deg": "temperature",
    "c": "temperature",
    "f": "temperature",
    "port": "count",
    "ports": "count",
    "way": "count",
    "hoses": "count",
    "times": "count",
    "x": "count",
    "pulls": "count",
    "cyl": "count",
    "cylinder": "count",
}


@dataclass(frozen=True, slots=True)
class Item:
    """One meaning word of a sentence: its stem, its clause, and its first and last token.

    For a number ``stem`` is ``N`` and ``value`` and ``unit`` are set; the unit is None for a bare
    number.
    """

    stem: str
    clause: int
    first: int
    last: int
    value: float = 0.0
    unit: str | None = None


@dataclass(frozen=True)
class Sentence:
    """A sentence: all its tokens, its meaning words, and whether a question mark ends it.

    ``clauses`` holds the clause of every token.
    """

    tokens: tuple[Token, ...]
    items: tuple[Item, ...]
    asked: bool
    clauses: tuple[int, ...]

    @property
    def start(self) -> int:
        """Where it begins in the text."""
        return self.tokens[0].start

    def words(self, clause: int | None = None) -> list[str]:
        """Its plain words, or those of one clause; for phrases that steer polarity."""
        return [word for word, place in self._words if clause is None or place == clause]

    @cached_property
    def _words(self) -> list[tuple[str, int]]:
        """Its plain words, each with its clause."""
        pairs = zip(self.tokens, self.clauses, strict=True)
        return [(token.text, place) for token, place in pairs if token.text != "\n"]


def sentences_of(text: str, tokens: list[Token], vocabulary: Vocabulary) -> list[Sentence]:
    """Split tokens into sentences; ends of wrapped lines do not end one."""
    found: list[Sentence] = []
    current: list[Token] = []
    line_start = 0
    for position, token in enumerate(tokens):
        if token.text == "\n":
            short = token.start - line_start < _WRAPPED_FROM
            line_start = token.end
            following = tokens[position + 1].text if position + 1 < len(tokens) else "\n"
            if current and (short or following == "\n" or following in _LIST_MARKS):
                found.append(_sentence(current, False, vocabulary))
                current = []
            continue
        if token.text in _ENDS:
            if current:
                # The mark of several that comes last decides: what?! is a question.
                found.append(_sentence(current, token.text == "?", vocabulary))
            elif found and token.text == "?":
                last = found[-1]
                found[-1] = Sentence(last.tokens, last.items, True, last.clauses)
            current = []
            continue
        current.append(token)
        if len(current) >= MOST_SENTENCE_WORDS:
            found.append(_sentence(current, False, vocabulary))
            current = []
    if current:
        found.append(_sentence(current, False, vocabulary))
    return found


def _clauses(tokens: tuple[Token, ...] | list[Token]) -> list[int]:
    clause = begun = 0
    found = []
    for position, token in enumerate(tokens):
        dash = token.text == "-" and 0 < position < len(tokens) - 1
        apart = dash and (
            tokens[position - 1].end < token.start and token.end < tokens[position + 1].start
        )
        # Three inches, written with a mark, end nothing.
        inches = token.text == '"' and position > 0 and tokens[position - 1].is_number
        # A colon parts clauses, but not a heading from what it heads.
        colon = token.text == ":" and position - begun > _LONGEST_HEADING
        if (token.text in _PAUSES and not inches) or token.text in _TURNS or apart or colon:
            clause += 1
            begun = position + 1
        found.append(clause)
    return found


def _sentence(tokens: list[Token], asked: bool, vocabulary: Vocabulary) -> Sentence:
    clauses = _clauses(tokens)
    items: list[Item] = []
    position = 0
    while position < len(tokens):
        token = tokens[position]
        last = position
        spelt = spelt_pressure(tokens, position)
        if spelt is not None:
            value, named, last = spelt
            items.append(Item(NUMBER, clauses[position], position, last, value, named))
        elif token.is_number:
            value = float(token.text.replace(",", "."))
            unit, last = _unit_after(tokens, position)
            items.append(Item(NUMBER, clauses[position], position, last, value, unit))
        elif token.is_word and (heard := _imitated(tokens, position)) is not None:
            last = heard
            items.append(Item(IMITATED, clauses[position], position, last))
        elif token.is_word and token.text not in FILLERS:
            items.append(Item(vocabulary.stem(token.text), clauses[position], position, last))
        position = last + 1
    return Sentence(tuple(tokens), tuple(items), asked, tuple(clauses))


def _imitated(tokens: list[Token], position: int) -> int | None:
    """The last token of a noise that is written as it sounds: tu tu tu, stututu, trrrrt."""
    first = tokens[position].text
    last, times = position, 1
    following = position + 1
    while following < len(tokens):
        if tokens[following].text == "-" and following + 1 < len(tokens):
            following += 1
        if tokens[following].text != first:
            break
        last, times = following, times + 1
        following += 1
    if times >= _TIMES and len(first) <= _LONGEST_SYLLABLE and first not in _SAID_THRICE:
        return last
    return position if _SYLLABLES.fullmatch(first) and first not in _SAID_THRICE else None


def _unit_after(tokens: list[Token], position: int) -> tuple[str | None, int]:
    """The unit that follows a number, and the last token that belongs to it."""
    following = position + 1
    if following >= len(tokens):
        return None, position
    after = tokens[following]
    touches = after.start == tokens[position].end
    if after.text == "%":
        return "percent", following
    if after.text == "-" and touches and following + 1 < len(tokens):
        # 12-psi, 3-port
        unit = UNITS.get(tokens[following + 1].text)
        if unit == "count":
            return unit, position
        return (unit, following + 1) if unit else (None, position)
    if after.text in _KILOGRAMS:
        return _per_area(tokens, following) or (None, position)
    unit = UNITS.get(after.text)
    if unit is None:
        return None, position
    if len(after.text) <= 2 and not touches and after.text not in {"lb", "k", "mm", "hp", "ps"}:
        # A single letter is a unit only where it touches its number.
        return None, position
    if unit == "count":
        # The word stays for phrases: 3 port solenoid.
        return unit, position
    return unit, following


def _per_area(tokens: list[Token], position: int) -> tuple[str, int] | None:
    """Kilograms for each square centimetre, and the last token of it: kg/cm2, kgf/cm\u00b2."""
    marks = [token.text for token in tokens[position + 1 : position + 5]]
    if marks[:1] not in (["/"], ["per"]):
        return None
    if marks[1:2] == ["sq"]:
        return ("kg/cm2", position + 3) if marks[2:3] == ["cm"] else None
    if marks[1:2] != ["cm"]:
        return None
    if marks[2:4] == ["^", "2"]:
        return "kg/cm2", position + 4
    square = marks[2:3] == ["2"] and tokens[position + 3].start == tokens[position + 2].end
    return "kg/cm2", position + (3 if square else 2)
