"""Numbers and clock times out of bytes, whole columns at a time.

Cells that are written alike, with their point or colons at the same distance from the end, are read
together: each digit has a weight by its place, counted from the end. All weights are whole numbers
and the sum is divided once, so that the value is the nearest to what is written, as in ``float``
(Clinger, "How to read floating point numbers accurately", 1990: both exact, one rounding).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from expert.evidence.log import clock, words

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Places = NDArray[np.int64]
    Floats = NDArray[np.float64]
    Truth = NDArray[np.bool_]

# Below 2 to the power of 53 every whole number is exact.
_MOST_DIGITS: Final = 15
_MOST_PATTERNS: Final = 12
_MOST_FRUITLESS: Final = 3
_ZERO: Final = ord("0")
_SIGNS: Final = (ord("+"), ord("-"))
# Up to here cells are read more quickly character by character.
_SHORT: Final = 2


@dataclass(frozen=True, slots=True)
class Pattern:
    """How a cell is written. Places count from its last character, which is 0.

    ``marks`` are the bytes that must stand at some places, ``weights`` what a digit at any other
    is worth; a cell may end before the last of them, from ``shortest`` characters on. The value is
    the sum with ``added``, divided by ``divisor``. A ``plain`` one has digits and at most one mark.
    """

    marks: dict[int, int]
    weights: tuple[int, ...]
    shortest: int
    added: int = 0
    divisor: int = 1
    plain: bool = False


Maker = Callable[[bytes], "Pattern | None"]


def decimal(point: int) -> Maker:
    """Patterns of numbers with this decimal sign, without exponent and without their sign."""

    def made(cell: bytes) -> Pattern | None:
        place = len(cell) - 1 - cell.rfind(point)
        if place == len(cell):
            return _WHOLE
        if place > _MOST_DIGITS:
            return None
        weights = [10 ** (k if k < place else k - 1) for k in range(_MOST_DIGITS + 1)]
        return Pattern({place: point}, tuple(weights), max(place + 1, 2), 0, 10**place, True)

    return made


_WHOLE: Final = Pattern({}, tuple(10**k for k in range(_MOST_DIGITS)), 1, plain=True)


def clock_time(first_day: int) -> Maker:
    """Patterns of clock times; a date, and the hour before AM or PM, must be the same in all."""

    def made(cell: bytes) -> Pattern | None:
        text = cell.decode("latin-1")
        found = clock.CLOCK.fullmatch(text)
        if found is None or len(text) != len(cell):
            return None
        hours, whole, part, half = found.span(4), found.span(6), found.span(7), found[8]
        scale = 10 ** (part[1] - part[0])
        end = len(cell)
        weights = [0] * end
        moving = [(found.span(5), 60 * scale), (whole, scale), (part, 1)]
        if not half:
            moving.append((hours, 3600 * scale))
        for (begin, after), worth in moving:
            for at in range(begin, after):
                weights[end - 1 - at] = worth * 10 ** (after - 1 - at)
        marks = {k: cell[end - 1 - k] for k in range(end) if not weights[k]}
        # What the moving digits of this very cell add is known, so the rest is what is constant.
        digits = sum(
            weights[end - 1 - at] * (cell[at] - _ZERO) for at in range(end) if weights[end - 1 - at]
        )
        value = clock.seconds(text, first_day)
        if math.isnan(value) or digits > 10**_MOST_DIGITS:
            return None
        return Pattern(marks, tuple(weights), end, round(value * scale) - digits, scale)

    return made


def numbers(
    data: Bytes, begin: Places, end: Places, maker: Maker, signed: bool
) -> tuple[Floats, Truth]:
    """Values of cells from ``begin`` up to ``end`` in ``data``, and which of them are known.

    Blank cells are known to be NaN. With ``signed`` a sign may stand before the digits.
    """
    import numpy as np

    negative = None
    if signed:
        first = data.take(begin, mode="clip")
        minus = first == _SIGNS[1]
        before = minus | (first == _SIGNS[0])
        if before.any():
            blank = end <= begin
            begin = begin + (before & ~blank)
            negative = minus & ~blank
    values, known = _unsigned(data, begin, end, maker)
    if negative is not None:
        known &= (end > begin) | ~before
        np.negative(values, out=values, where=negative)
    return values, known


def _unsigned(data: Bytes, begin: Places, end: Places, maker: Maker) -> tuple[Floats, Truth]:
    """As `numbers`, of cells without a sign."""
    import numpy as np

    lengths = end - begin
    if not len(lengths):
        return np.empty(0), np.empty(0, bool)
    pattern = maker(data[begin[0] : end[0]].tobytes())
    if int(lengths.min()) > 0 and pattern is not None:
        # Nearly always all cells of a column are written alike.
        found, fits = _alike(data, end, lengths, pattern)
        if fits.all():
            return found, fits
        values, known = np.where(fits, found, np.nan), fits
    else:
        values, known = np.full(len(lengths), np.nan), lengths <= 0
    fruitless = 0
    left = np.flatnonzero(~known)
    for _ in range(_MOST_PATTERNS):
        if not len(left):
            break
        ends, sizes = end[left], lengths[left]
        pattern = maker(data[ends[0] - int(sizes[0]) : ends[0]].tobytes())
        found, fits = _alike(data, ends, sizes, pattern or _WHOLE)
        if pattern is None or not fits.any():
            fruitless += 1
            if fruitless == _MOST_FRUITLESS:
                break
            # The first cell is none of these numbers, but the others may be.
            left = left[1:]
            continue
        values[left[fits]] = found[fits]
        known[left[fits]] = True
        left = left[~fits]
    return values, known


def _alike(data: Bytes, ends: Places, lengths: Places, pattern: Pattern) -> tuple[Floats, Truth]:
    """Values of cells that are written like a pattern, and which of them are."""
    if pattern.plain and _SHORT < int(lengths.max()) <= words.LONGEST:
        return _by_words(data, ends, lengths, pattern)
    return _by_places(data, ends, lengths, pattern)


def _by_words(data: Bytes, ends: Places, lengths: Places, pattern: Pattern) -> tuple[Floats, Truth]:
    place, point = next(iter(pattern.marks.items()), (0, None))
    found, wrong = words.whole_numbers(data, ends, lengths, point, place)
    fits = words.sound(wrong)
    if int(lengths.min()) < pattern.shortest:
        fits &= lengths >= pattern.shortest
    values = found.astype(float)
    if pattern.divisor != 1:
        values /= pattern.divisor
    return values, fits


def _by_places(
    data: Bytes, ends: Places, lengths: Places, pattern: Pattern
) -> tuple[Floats, Truth]:
    """As `_alike`, of cells of any length, one character after the other."""
    import numpy as np

    shortest, longest = int(lengths.min()), int(lengths.max())
    longest = min(longest, len(pattern.weights))
    total = np.zeros(len(ends))
    worst = np.zeros(len(ends), np.uint8)
    fits = (lengths >= pattern.shortest) & (lengths <= longest)
    at = ends.copy()
    part = np.empty(len(ends))

    def add(found: Bytes, worth: int) -> None:
        np.multiply(found, float(worth), out=part, dtype=np.float64)
        np.add(total, part, out=total)

    # Two digits fit into a byte, so that they are added up as one.
    waiting: Bytes | None = None
    worth = 0
    for place in range(longest):
        at -= 1
        found = data.take(at, mode="clip")
        mark = pattern.marks.get(place)
        if mark is not None:
            fits &= found == mark
            continue
        found -= _ZERO
        if place >= shortest:
            found *= lengths > place
        np.maximum(worst, found, out=worst)
        weight = pattern.weights[place]
        if waiting is not None and weight == 10 * worth:
            found *= 10
            found += waiting
            add(found, worth)
            waiting = None
            continue
        if waiting is not None:
            add(waiting, worth)
        waiting, worth = found, weight
    if waiting is not None:
        add(waiting, worth)
    fits &= worst <= 9
    if pattern.added:
        total += pattern.added
    if pattern.divisor != 1:
        total /= pattern.divisor
    return total, fits
