"""Names and units of columns, from what stands in the header of a file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from expert.evidence.log.record import Header
from expert.evidence.log.units import no_unit, parse_unit
from expert.text import clean

LONGEST_NAME: Final = 120
_LONGEST_CELL: Final = 400
_BRACKETED: Final = re.compile(
    r"(.*?)[\s_,/:-]*(?:\[(?P<square>.*)\]|\((?P<round>.*)\)|\{(?P<curly>[^{}]*)\}|<(?P<angle>[^<>]*)>)"
)
# After a comma, a slash or an underscore a short text that is a unit is taken for one; other
# separators stand within names too, so that only what cannot be a word is.
_PLAIN_SEPARATORS: Final = ",/_"
_WEAK_SEPARATORS: Final = " -.:;"
_LETTERS: Final = frozenset("scfvk%°")
_NAMES_TOO: Final = frozenset(("rotation", "mixture", "angle", "other"))
_UNMISTAKABLE: Final = frozenset(
    {
        *("kpa", "mpa", "hpa", "mbar", "bar", "psi", "psig", "psia", "inhg", "mmhg", "kph", "kmh"),
        *("mph", "ms", "sec", "secs", "seconds", "msec", "pct", "percent", "degc", "degf"),
        *("volts", "millis"),
    }
)
# Some names are units too (RPM, lambda), but not nearly all of a line.
_MOST_ARE_UNITS: Final = 0.7
_SIGNED: Final = re.compile(r"[%°/²^]")


def is_unit(text: str) -> bool:
    """Whether a text is a unit that loggers use, with or without its reference."""
    return parse_unit(text) is not None


def heading(text: str) -> Header:
    """Name and unit of a header cell: ``MAP [kPa]``, ``MAP (kPa)``, ``MAP, kPa``, ``map_kpa``."""
    text = " ".join(clean(text[:_LONGEST_CELL]).strip().strip("#\"'").split())
    name, unit = _bracketed(text) or _separated(text) or (text, "")
    return Header(name[:LONGEST_NAME], unit[:LONGEST_NAME])


def _bracketed(text: str) -> tuple[str, str] | None:
    """What stands in the last brackets is a unit in square ones always, else if it is known."""
    found = _BRACKETED.fullmatch(text)
    if found is None or not found[1]:
        return None
    unit = next(part for part in found.groups()[1:] if part is not None).strip()
    if found["square"] is not None or is_unit(unit) or no_unit(unit):
        return found[1], unit
    # Of two pairs of brackets the first may belong to the name: MAP (filtered) (kPa).
    at = max(text.rfind("("), text.rfind("["))
    last = text[at + 1 :].rstrip(")] ")
    if at > 0 and is_unit(last):
        return text[:at].rstrip(" _,/:-"), last
    return None


def _separated(text: str) -> tuple[str, str] | None:
    """Name and unit where only a separator stands between them."""
    if is_unit(text):
        return None
    for at in range(1, len(text)):
        name, separator, unit = text[:at].rstrip(" ,/_:;-."), text[at], text[at + 1 :].strip()
        if not name or not unit:
            continue
        if separator in _PLAIN_SEPARATORS and _is_plain(unit, separator):
            return name, unit
        if separator in _WEAK_SEPARATORS and _is_unmistakable(unit):
            return name, unit
    return None


def _is_plain(text: str, separator: str) -> bool:
    unit = parse_unit(text)
    if unit is None or (len(text) == 1 and text.lower() not in _LETTERS):
        return False
    return separator == "," or unit.measures not in _NAMES_TOO


def _is_unmistakable(text: str) -> bool:
    if not is_unit(text):
        return False
    first = text.lower().replace("_", " ").split()[0].split("(")[0]
    return first in _UNMISTAKABLE or _SIGNED.search(text) is not None


def is_unit_row(cells: Sequence[str]) -> bool:
    """Whether a line of cells holds units: most of those that are not blank."""
    filled = [bare(cell) for cell in cells if bare(cell)]
    units = sum(map(is_unit, filled))
    nothing = sum(map(no_unit, filled))
    return units > 0 and units + nothing >= _MOST_ARE_UNITS * len(filled)


def bare(cell: str) -> str:
    """A unit without the brackets and quotes round it."""
    text = clean(cell).strip().strip('"').strip()
    return text[1:-1].strip() if text[:1] + text[-1:] in ("[]", "()", "{}", "<>") else text


def distinct(headers: Sequence[Header]) -> tuple[Header, ...]:
    """The same headers, each with a name of its own: ``column 3`` for none, ``MAP 2`` again."""
    written = {header.name.casefold() for header in headers}
    taken: set[str] = set()
    numbers: dict[str, int] = {}
    made = []
    for at, header in enumerate(headers, start=1):
        first = header.name or f"column {at}"
        name = first
        while name.casefold() in taken or (name != header.name and name.casefold() in written):
            numbers[first] = numbers.get(first, 1) + 1
            name = f"{first} {numbers[first]}"
        taken.add(name.casefold())
        made.append(Header(name, header.unit))
    return tuple(made)
