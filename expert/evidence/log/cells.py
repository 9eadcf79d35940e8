"""What stands in one cell of a table, as a number: the slow and thorough way."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from expert.evidence.log.units import parse_unit

NAN: Final = math.nan
_WORDS: Final = {"on": 1.0, "off": 0.0, "true": 1.0, "false": 0.0, "yes": 1.0, "no": 0.0}
# What loggers write where there is no value.
_NOTHING: Final = frozenset(
    {
        *("", "-", "--", "---", "----", "n/a", "na", "n.a.", "nan", "null", "none", "nil", "err"),
        *("error", "invalid", "inf", "+inf", "-inf", "infinity", "-infinity", "#n/a", "#inf", "?"),
        *("1.#inf", "-1.#inf", "1.#ind", "-1.#ind", "1.#qnan", "*", "***", "ovf"),
        *("off-line", "offline"),
    }
)
_NUMBER: Final = re.compile(
    r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(?:\s*([^\W\d_].*|[%°].*))?", re.A
)
_SPACES: Final = str.maketrans("", "", " \u00a0\u2007\u2009\u202f")
_LONGEST: Final = 64
# Between digits, with three digits behind.
_SPACED: Final = re.compile(r"(?<=\d)[ \u00a0\u2007\u2009\u202f](?=\d{3}(?!\d))", re.A)
_BETWEEN: Final = {
    sign: re.compile(rf"(?<=\d){re.escape(sign)}(?=\d{{3}}(?!\d))", re.A) for sign in ",.'"
}


@dataclass(frozen=True, slots=True)
class Signs:
    """How numbers are written: the decimal sign, and what stands between thousands, if anything."""

    point: str = "."
    thousands: str = ""


def number(text: str, signs: Signs) -> float:
    """The value of a cell: a number, 1 or 0 for a switch, NaN for all else; never raises.

    A unit behind the number is left out. Infinity is no value and becomes NaN.
    """
    plain = text.strip().strip('"').strip()
    if len(plain) > _LONGEST:
        return NAN
    word = _WORDS.get(plain.lower())
    if word is not None:
        return word
    found = _NUMBER.fullmatch(pointed(plain, signs))
    if found is None or (found[2] and parse_unit(found[2]) is None):
        return NAN
    value = float(found[1])
    return value if math.isfinite(value) else NAN


def is_nothing(text: str) -> bool:
    """Whether a cell says that there is no value."""
    if text[-1:].isdigit():
        return False
    return text.strip().strip('"').strip().lower() in _NOTHING


def pointed(text: str, signs: Signs) -> str:
    """A number with a decimal point and nothing between thousands."""
    text = _SPACED.sub("", text.replace("\N{MINUS SIGN}", "-"))
    if signs.thousands:
        text = _BETWEEN[signs.thousands].sub("", text)
    return text if signs.point == "." else text.replace(".", "\0").replace(signs.point, ".")


def signs_of(columns: list[list[str]]) -> Signs:
    """How the numbers of a table are written, judged by all its cells together."""
    cells = [text.translate(_SPACES) for column in columns for text in column]
    both = [text for text in cells if "," in text and "." in text]
    commas = [text for text in cells if "," in text and _plain(text, ",")]
    points = [text for text in cells if "." in text and _plain(text, ".")]
    apostrophe = "'" if any(_grouped(text, "'") for text in cells) else ""
    last = [max(text, key=lambda c, t=text: t.rfind(c) if c in ",." else -1) for text in both]  # type: ignore[misc]
    mixed = [sign for sign, text in zip(last, both, strict=True) if _mixed(text, sign)]
    if mixed:
        point = max(",.", key=mixed.count)
        return Signs(point, "." if point == "," else ",")
    if commas and (not points or _all_grouped(points, ".")) and not _thousands(columns, ","):
        return Signs(",", "." if points else apostrophe)
    if commas and _all_grouped(commas, ","):
        return Signs(".", ",")
    if commas and len(commas) > len(points):
        return Signs(",", apostrophe)
    if points and _thousands(columns, ".") and any(text.count(".") > 1 for text in points):
        return Signs(",", ".")
    return Signs(".", apostrophe)


_PLAIN: Final = {
    sign: re.compile(rf"[+-]?\d*(?:{re.escape(sign)}\d*)+(?:[eE][+-]?\d+)?", re.A) for sign in ",."
}
_GROUPED: Final = {
    sign: re.compile(rf"[+-]?[1-9]\d{{0,2}}(?:{re.escape(sign)}\d{{3}})+(?:[.,]\d*)?", re.A)
    for sign in ",.'"
}
_LARGE: Final = 1000.0


def _plain(text: str, sign: str) -> bool:
    return _PLAIN[sign].fullmatch(text) is not None


def _grouped(text: str, sign: str) -> bool:
    return _GROUPED[sign].fullmatch(text) is not None


def _mixed(text: str, sign: str) -> bool:
    other = "." if sign == "," else ","
    whole, _, rest = text.rpartition(sign)
    return rest.isdigit() and _grouped(whole, other) and not whole.count(sign)


def _all_grouped(cells: list[str], sign: str) -> bool:
    return bool(cells) and all(_grouped(text, sign) for text in cells)


def _thousands(columns: list[list[str]], sign: str) -> bool:
    """Whether a sign stands between thousands: only in large numbers, beside small ones without."""
    shown = False
    for column in columns:
        cells = [text.translate(_SPACES) for text in column]
        signed = [text for text in cells if sign in text and _plain(text, sign)]
        if not signed:
            continue
        if not _all_grouped(signed, sign):
            return False
        bare = [text for text in cells if text.lstrip("+-").isdigit()]
        if any(abs(float(text)) >= _LARGE for text in bare):
            return False
        shown = shown or bool(bare) or any(text.count(sign) > 1 for text in signed)
    return shown
