"""What a user says about columns: ``boost=NAME:unit``, from the command line."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from expert.errors import UsageError
from expert.evidence.log.record import Header
from expert.evidence.log.units import Unit, parse_unit
from expert.text import clean, name_words

_SHOWN: Final = 60
_MOST_NAMES: Final = 5
FORM: Final = "write it as CHANNEL=COLUMN or CHANNEL=COLUMN:UNIT, such as boost=MAP:kPa"


class OverrideError(UsageError):
    """An override that cannot be followed; the text says what to write instead."""


@dataclass(frozen=True, slots=True)
class Override:
    """A channel and the text behind the equals sign, which names a column and perhaps a unit."""

    channel: str
    text: str


@dataclass(frozen=True, slots=True)
class Chosen:
    """A column that a user chose, by its number, and the unit that he said, if he did."""

    column: int
    unit: Unit | None


def overrides(texts: Iterable[str]) -> dict[str, Override]:
    """Overrides by channel. Raises OverrideError for what has not their form or is there twice."""
    found: dict[str, Override] = {}
    for text in texts:
        channel, sign, rest = (part.strip() for part in text.partition("="))
        if not (sign and channel and rest.strip(": ")):
            raise OverrideError(f"--channel {_quoted(text)}: {FORM}.")
        channel = channel.casefold()
        if channel in found:
            raise OverrideError(f"--channel {_quoted(channel)} is there twice; give it once.")
        found[channel] = Override(channel, rest)
    return found


def chosen(
    asked: Mapping[str, Override], headers: Sequence[Header], known: Collection[str]
) -> dict[str, Chosen]:
    """The columns that overrides name, by channel.

    The whole text is the name of a column if there is such a column; otherwise the last colon
    parts the name from the unit. Raises OverrideError for a channel, a column or a unit that is not
    there, with those that are nearest, and for a column that is named twice.
    """
    result: dict[str, Chosen] = {}
    taken: dict[int, str] = {}
    for channel, override in asked.items():
        if channel not in known:
            close = get_close_matches(channel, known, 1, 0.6)
            hint = f"; did you mean '{close[0]}'?" if close else f": {', '.join(known)}"
            raise OverrideError(f"--channel {_quoted(channel)}: no such channel{hint}")
        one = _chosen(override, headers)
        if one.column in taken:
            raise OverrideError(
                f"--channel: {_quoted(headers[one.column].name)} cannot be both "
                f"{taken[one.column]} and {channel}; name another column for one of them."
            )
        taken[one.column] = channel
        result[channel] = one
    return result


def _chosen(override: Override, headers: Sequence[Header]) -> Chosen:
    column = _column(override.text, headers)
    if column is not None:
        return Chosen(column, None)
    name, sign, unit_text = override.text.rpartition(":")
    what = f"--channel {_quoted(f'{override.channel}={override.text}')}"
    column = _column(name, headers) if sign else None
    if column is None:
        raise OverrideError(f"{what}: {_no_column(name if sign else override.text, headers)}")
    if not unit_text.strip():
        return Chosen(column, None)
    unit = parse_unit(unit_text)
    if unit is None:
        raise OverrideError(
            f"{what}: the unit {_quoted(unit_text.strip())} is not known; write one such as kPa, "
            "kPa abs, bar gauge, psi, rpm, %, km/h, C or ms."
        )
    return Chosen(column, unit)


def _column(text: str, headers: Sequence[Header]) -> int | None:
    """The first column of a name: as it is written, else one whose words are the same."""
    name = text.strip()
    if not name:
        return None
    for shape in (str.strip, str.casefold, name_words):
        wanted = shape(name)
        for number, header in enumerate(headers):
            if wanted and shape(header.name.strip()) == wanted:
                return number
    return None


def _no_column(name: str, headers: Sequence[Header]) -> str:
    by_name = {" ".join(name_words(header.name)) or header.name: header.name for header in headers}
    wanted = " ".join(name_words(name)) or name
    near = [by_name[one] for one in get_close_matches(wanted, by_name, _MOST_NAMES, 0.5)]
    shown = near or [header.name for header in headers[:_MOST_NAMES]]
    names = ", ".join(_quoted(one) for one in shown)
    lead = "the nearest are" if near else "its columns begin with"
    return f"the file has no column {_quoted(name.strip())}; {lead} {names}"


def _quoted(text: str) -> str:
    return f"'{clean(text, _SHOWN)}'"
