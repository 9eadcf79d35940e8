"""Cells that hold a time of day: ``11:59:40.050``, ``59:40.05``, dates before it, AM and PM."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

HOUR_S: Final = 3600.0
DAY_S: Final = 86_400.0
_ALMOST_ALL: Final = 0.9
_ISO: Final = r"(\d{4})[-/.](\d\d?)[-/.](\d\d?)"
_OTHER_DATE: Final = r"\d\d?[-/.]\d\d?[-/.]\d{2,4}"
# ISO 8601 for the first form; the fourth field of a clock is taken for its fraction.
CLOCK: Final = re.compile(
    rf"\s*(?:(?:{_ISO}|{_OTHER_DATE})[T ,]\s*)?"
    r"(?:(\d{1,4}):)?(\d\d?):(\d\d?)(?:[.,:](\d{1,9}))?"
    r"\s*(?:([aApP])\.?[mM]\.?)?\s*(?:Z|[+-]\d\d:?\d\d)?\s*",
    re.A,
)


def is_clock(text: str) -> bool:
    """Whether a cell is a time of day."""
    return ":" in text and CLOCK.fullmatch(text.strip('" ')) is not None


def seconds(text: str, first_day: int = 0) -> float:
    """Seconds since midnight, of the day ``first_day`` (its ordinal) where an ISO date is given.

    Two fields are minutes and seconds. NaN for what is no time of day.
    """
    found = CLOCK.fullmatch(text.strip('" '))
    if found is None:
        return math.nan
    year, month, day, hours, minutes, whole, part, half = found.groups()
    hour = int(hours or 0)
    if int(whole) > 60 or (hours and int(minutes) > 59) or (half and not 1 <= hour <= 12):
        return math.nan
    if half:
        hour = hour % 12 + (12 if half in "pP" else 0)
    value = int(hour) * 3600 + int(minutes) * 60 + int(whole)
    if year:
        ordinal = _ordinal(int(year), int(month), int(day))
        if ordinal is None:
            return math.nan
        value += (ordinal - first_day) * 86_400 if first_day else 0
    if not part:
        return float(value)
    # As one number, so that it is the nearest to what is written.
    scale: int = 10 ** len(part)
    return (value * scale + int(part)) / scale


def day(text: str) -> int:
    """The ordinal of the ISO date in a cell; 0 without one."""
    found = CLOCK.fullmatch(text.strip('" '))
    if found is None or not found[1]:
        return 0
    return _ordinal(int(found[1]), int(found[2]), int(found[3])) or 0


def _ordinal(year: int, month: int, number: int) -> int | None:
    try:
        return date(year, month, number).toordinal()
    except ValueError:
        return None


def period(cells: Sequence[str]) -> float:
    """After how many seconds such times begin anew: an hour, twelve, or a day; 0 with ISO dates."""
    found = [match for text in cells if (match := CLOCK.fullmatch(text.strip('" ')))]
    if any(match[1] for match in found):
        return 0.0
    if found and not any(match[4] for match in found):
        return HOUR_S
    return DAY_S


def unwrapped(times: NDArray[np.float64], every: float) -> NDArray[np.float64]:
    """Times that go on where the clock began anew; a step back by less than half stays as it is."""
    import numpy as np

    if not every:
        return times
    known = np.flatnonzero(~np.isnan(times))
    if len(known) < 2:
        return times
    steps = np.diff(times[known])
    turns = np.zeros(len(known))
    turned = 0
    for at in np.flatnonzero(np.abs(steps) > every / 2):
        if steps[at] < 0.0:
            turned += 1
        elif turned and steps[at] > _ALMOST_ALL * every:
            # A line out of its order, from before the turn.
            turned -= 1
        turns[at + 1 :] = turned
    made = times.copy()
    made[known] += every * turns
    return made
