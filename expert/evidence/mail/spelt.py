"""Pressures that are written in words: half a bar, twenty-two psi, one point four bar."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.evidence.mail.words import Token

_COUNTED: Final = (
    *("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen"),
    *("nineteen", "twenty"),
)
_VALUES: Final = {
    "half": 0.5,
    **{word: float(value) for value, word in enumerate(_COUNTED, start=1)},
    "thirty": 30.0,
}
_DIGITS: Final = {word: float(value) for value, word in enumerate(_COUNTED[:9], start=1)}
_TENS: Final = frozenset({"twenty", "thirty"})
_ZEROS: Final = frozenset({"zero", "nought"})
_QUARTERS: Final = {
    ("a", "quarter"): 0.25,
    ("three", "quarter"): 0.75,
    ("three", "quarters"): 0.75,
}
_UNITS: Final = {"bar": "bar", "bars": "bar", "psi": "psi"}
_POUNDS: Final = frozenset({"pounds", "pound", "lbs", "lb"})
_MOST_WORDS: Final = 8


def spelt_pressure(tokens: Sequence[Token], position: int) -> tuple[float, str, int] | None:
    """The pressure that the words from a token on make: its value, its unit, and its last token.

    None where they make none; a number in words without a unit is none.
    """
    first = tokens[position].text
    if first not in _FIRST:
        return None
    words = [token.text for token in tokens[position : position + _MOST_WORDS]]
    counted = _counted(words)
    if counted is None:
        return None
    value, used = counted
    unit = words[used : used + 3]
    if value < 1.0 and unit[:1] == ["of"]:
        unit, used = unit[1:], used + 1
    if value < 1.0 and unit[:1] == ["a"] and unit[1:] and unit[1] in _UNITS:
        return value, _UNITS[unit[1]], position + used + 1
    if unit and unit[0] in _UNITS:
        return value, _UNITS[unit[0]], position + used
    # Eight pounds is money, and eight pounds of boost are not.
    if unit and unit[0] in _POUNDS and unit[1:] in (["of", "boost"], ["of", "pressure"]):
        return value, "psi", position + used
    return None


_FIRST: Final = frozenset({*_VALUES, *_ZEROS, "a", "point"})


def _counted(words: list[str]) -> tuple[float, int] | None:
    """The number that the first words make, and how many they are."""
    quarters = _QUARTERS.get((words[0], words[1])) if len(words) > 1 else None
    if quarters is not None:
        return quarters, 2
    if words[0] in _TENS:
        used = 2 if words[1:2] == ["-"] else 1
        if words[used : used + 1] and words[used] in _DIGITS:
            return _VALUES[words[0]] + _DIGITS[words[used]], used + 1
    for used in (0, 1):
        if words[used : used + 1] == ["point"] and words[used + 1 : used + 2]:
            tenths = _DIGITS.get(words[used + 1])
            whole = _VALUES.get(words[0], 0.0) if used else 0.0
            return None if tenths is None else (whole + tenths / 10.0, used + 2)
    value = _VALUES.get(words[0])
    if value is None:
        return None
    return (value + 0.5, 4) if words[1:4] == ["and", "a", "half"] else (value, 1)
