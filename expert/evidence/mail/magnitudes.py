"""Numbers as terms: of what they are, about how much, and how they compare with the one before.

That boost comes at 4000 rpm and came at 2800 is told by neither number; *a thousand revs more* is
a term like a word. The bounds are round numbers between what is usual and what is not, common
practice, no source.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from expert.evidence.mail.words import Token, wordset
from expert.units import KPA_PER


class _Unit(NamedTuple):
    """What a unit measures, and how a number of it becomes one of the unit of the bounds."""

    of: str
    factor: float = 1.0
    offset: float = 0.0


_PRESSURE: Final = "kPa"
_SPEED: Final = "rpm"
_WARMTH: Final = "degrees"
_BARE: Final = "number"
_UNITS: Final = {
    **dict.fromkeys(wordset("psi psis lb lbs pound pounds"), _Unit(_PRESSURE, KPA_PER["psi"])),
    **dict.fromkeys(wordset("bar bars kg"), _Unit(_PRESSURE, KPA_PER["bar"])),
    "kpa": _Unit(_PRESSURE),
    **dict.fromkeys(wordset("rpm revs rev"), _Unit(_SPEED)),
    **dict.fromkeys(wordset("percent per %"), _Unit("percent")),
    **dict.fromkeys(wordset("v volt volts"), _Unit("volts")),
    **dict.fromkeys(wordset("ohm ohms"), _Unit("ohms")),
    **dict.fromkeys(wordset("k kohm kohms mohm megohm"), _Unit("ohms", 1000.0)),
    **dict.fromkeys(wordset("degrees degree deg celsius c °"), _Unit(_WARMTH)),
    **dict.fromkeys(wordset("f fahrenheit"), _Unit(_WARMTH, 5 / 9, -160 / 9)),
    **dict.fromkeys(wordset("s sec secs second seconds"), _Unit("seconds")),
}
_BOUNDS: Final = {
    _PRESSURE: (3.0, 7.0, 20.0, 45.0, 85.0, 130.0, 200.0),
    _WARMTH: (0.0, 10.0),
    "percent": (1.0, 16.0, 90.0),
    "volts": (0.6, 4.0, 5.6, 11.0, 15.0),
    "ohms": (1.0, 10.0, 60.0, 1000.0),
    "seconds": (2.0, 20.0),
    _BARE: (0.001, 1.0, 2.2, 5.0, 20.0, 60.0, 200.0),
}
# The later number against the earlier: as a share, or as a difference.
_SHARES: Final = (0.7, 0.87, 0.95, 1.05, 1.15, 1.4, 2.0)
_COMPARED_BY_SHARE: Final = frozenset({_PRESSURE, _BARE})
_DIFFERENCES: Final = {
    _SPEED: (-800.0, -150.0, 150.0, 800.0),
    _WARMTH: (0.0,),
    "percent": (0.0, 1.0),
}
# A number of this size without a unit is an engine speed.
_REVS: Final = (1400.0, 9500.0)
# The unit may stand behind one more word: 5 or psi, 12 full volts.
_REACH: Final = 2
_BETWEEN: Final = wordset("to or and a")
_BELOW_ZERO: Final = wordset("minus -")
_COLDEST: Final = 41.0


def magnitudes_of(tokens: Sequence[Token]) -> list[str]:
    """A term for each number whose size says something, and for each two of one unit in turn."""
    terms: list[str] = []
    seen: dict[str, list[float]] = {}
    for place, token in enumerate(tokens):
        if not token.is_number:
            continue
        of, value = _measured(tokens, place)
        if of in _BOUNDS:
            terms.append(f"{of}:{bisect_right(_BOUNDS[of], value)}")
        seen.setdefault(of, []).append(value)
    for of, values in seen.items():
        terms += (f"then:{of}:{size}" for size in _compared(of, values))
    return terms


def _measured(tokens: Sequence[Token], place: int) -> tuple[str, float]:
    """What a number is of, and its size in the unit of the bounds."""
    value = float(tokens[place].text.replace(",", "."))
    unit = _unit_behind(tokens, place)
    negative = place > 0 and tokens[place - 1].text in _BELOW_ZERO and value < _COLDEST
    if negative and (unit is None or unit.of == _WARMTH):
        unit, value = unit or _UNITS["°"], -value
    if unit is not None:
        return unit.of, value * unit.factor + unit.offset
    return (_SPEED if _REVS[0] <= value <= _REVS[1] else _BARE), value


def _unit_behind(tokens: Sequence[Token], place: int) -> _Unit | None:
    behind = [token.text for token in tokens[place + 1 : place + 1 + _REACH]]
    if behind[:1] == ["°"] and behind[1:] == ["f"]:
        return _UNITS["f"]
    for word in behind:
        if word in _UNITS:
            return _UNITS[word]
        if word.isalpha() and word not in _BETWEEN:
            return None
    return None


def _compared(of: str, values: Sequence[float]) -> Iterator[int]:
    for one, other in pairwise(values):
        if of in _COMPARED_BY_SHARE and one > 0 and other > 0:
            yield bisect_right(_SHARES, other / one)
        elif of in _DIFFERENCES:
            yield bisect_right(_DIFFERENCES[of], other - one)
