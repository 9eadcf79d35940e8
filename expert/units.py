"""Pressures as people type and read them; kPa inside.

Factors: NIST Special Publication 811 (2008), appendix B.8.
"""

from __future__ import annotations

import re
from typing import Final

from expert.errors import UsageError

KPA_PER_PSI: Final = 6.894757

KPA_PER: Final = {
    "kPa": 1.0,
    "psi": KPA_PER_PSI,
    "bar": 100.0,
    "mbar": 0.1,
    "hPa": 0.1,
    "inHg": 3.386389,
    "kg/cm2": 98.0665,
}

_UNIT_OF: Final = {
    "kpa": "kPa",
    "kilopascal": "kPa",
    "kilopascals": "kPa",
    "psi": "psi",
    "psig": "psi",
    "lb": "psi",
    "lbs": "psi",
    "pounds": "psi",
    "bar": "bar",
    "bars": "bar",
    "barg": "bar",
    "mbar": "mbar",
    "millibar": "mbar",
    "hpa": "hPa",
    "inhg": "inHg",
    "inches of mercury": "inHg",
    "kg/cm2": "kg/cm2",
    "kgf/cm2": "kg/cm2",
}
_GAUGE: Final = frozenset({"", "g", "gauge", "gage", "gauge pressure"})
_ABSOLUTE: Final = frozenset({"a", "abs", "absolute", "psia", "bara", "absolute pressure"})

_NUMBER: Final = re.compile(r"([+-]?)(\d{1,7}(?:[.,]\d{1,6})?|[.,]\d{1,6})\s*(.*)")
_LOOKS_NUMERIC: Final = re.compile(r"[+-]?\s*[.,]?\d")
_MAYBE_THOUSANDS: Final = re.compile(r"[1-9]\d{0,2},\d{3}")
_EXAMPLES: Final = "such as 12 psi, 0.8 bar or 83 kPa"


class ReadingError(UsageError):
    """A reading that cannot be understood; the text says what to type instead."""


class UnitMissingError(ReadingError):
    """A bare number, which might be in any unit."""


def looks_like_reading(text: str) -> bool:
    """Does the text begin like a number?"""
    return _LOOKS_NUMERIC.match(_plain(text)) is not None


def parse_kpa(text: str) -> float:
    """The gauge pressure of a text such as ``12 psi``, ``0,8bar`` or ``80 kPa``, in kPa.

    Raises UnitMissingError for a number alone, ReadingError for anything else that is no gauge
    pressure.
    """
    number, rest = _split(text)
    unit, rest = _leading_unit(rest)
    if rest in _ABSOLUTE:
        raise ReadingError(
            "That is an absolute pressure. Give it as the gauge shows it, with zero when the "
            "engine is off."
        )
    if unit is None and rest in _GAUGE:
        raise UnitMissingError(f"The unit is missing. Type it with the number, {_EXAMPLES}.")
    if unit is None or rest not in _GAUGE:
        raise ReadingError(f"That unit is not known here. Type psi, bar or kPa, {_EXAMPLES}.")
    return number * KPA_PER[unit]


def parse_percent(text: str) -> float:
    """The number of a text such as ``15 %`` or ``15 percent``. Raises ReadingError."""
    number, rest = _split(text)
    if rest not in {"", "%", "percent", "per cent", "pct"}:
        raise ReadingError("Type a number of percent, such as 15 %.")
    return number


def shown_kpa(kpa: float) -> str:
    """A pressure for people: kPa first, psi in brackets."""
    psi = f"{kpa / KPA_PER_PSI:.1f}".removesuffix(".0")
    return f"{kpa:.0f}\N{NO-BREAK SPACE}kPa ({psi}\N{NO-BREAK SPACE}psi)"


def _plain(text: str) -> str:
    return " ".join(text.replace("\N{MINUS SIGN}", "-").split()).casefold()


def _split(text: str) -> tuple[float, str]:
    """The number in front, and what follows it."""
    match = _NUMBER.fullmatch(_plain(text))
    if match is None:
        raise ReadingError(f"That is no reading. Type a number with its unit, {_EXAMPLES}.")
    sign, digits, rest = match.groups()
    if _MAYBE_THOUSANDS.fullmatch(digits):
        raise ReadingError(
            "The comma could mean thousands or a decimal. Type the number with a point, or whole."
        )
    number = float(digits.replace(",", "."))
    return (-number if sign == "-" else number), rest


def _leading_unit(rest: str) -> tuple[str | None, str]:
    """The unit that the text begins with, if it does, and what follows it."""
    rest = rest.strip(" .")
    for name in sorted(_UNIT_OF, key=len, reverse=True):
        if rest == name or rest.startswith(f"{name} "):
            return _UNIT_OF[name], rest[len(name) :].strip()
    return None, rest
