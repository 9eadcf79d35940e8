"""Short cells read as machine words: eight characters at once, for all cells of a column.

The characters of a cell stand in the bytes of a word, its last one in the highest. Neighbouring
digits are added up in pairs, pairs in fours, and fours in eights, each time with one
multiplication. Lamport, "Multiple byte processing with full-word instructions", 1975, works on the
bytes of a word in this way (cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Bytes = NDArray[np.uint8]
    Places = NDArray[np.int64]
    Words = NDArray[np.uint64]
    Halves = NDArray[np.uint32]
    Truth = NDArray[np.bool_]

LONGEST: Final = 8
_HALF: Final = 4
# The same byte in all places of a word.
_EACH: Final = 0x0101_0101_0101_0101
_ZERO: Final = ord("0")
_TOP_BITS: Final = 0x80 * _EACH


def whole_numbers(
    data: Bytes, ends: Places, lengths: Places, point: int | None, place: int
) -> tuple[Words | Halves, Words]:
    """The digits of cells as numbers without their point, and words for `sound` to judge them by.

    Cells of one to eight characters end before ``ends`` in ``data``, which ascend. With a
    ``point``, that byte stands ``place`` characters before the last, and cells are longer.
    """
    import numpy as np

    found = _gathered(data, ends - LONGEST)
    # Digits become their values, the point becomes 0, and so do characters before the cell.
    marks = _ZERO * _EACH
    most = 0x76 * _EACH
    if point is not None:
        shift = 8 * (LONGEST - 1 - place)
        marks ^= (_ZERO ^ point) << shift
        most |= 0x7F << shift
    found ^= np.uint64(marks)
    before = LONGEST - lengths
    before <<= 3
    bits = before.view(np.uint64)
    found >>= bits
    found <<= bits
    # Adding this to more than nine, or to what is no point, sets the highest bit of the byte.
    wrong = found + np.uint64(most)
    wrong |= found
    if point is not None:
        ahead = found & np.uint64((1 << shift) - 1)
        ahead *= np.uint64(0xFF)
        found += ahead
    if int(lengths.max(initial=1)) - (point is not None) <= _HALF:
        return _of_four((found >> np.uint64(32)).astype(np.uint32)), wrong
    return _of_eight(found), wrong


def sound(wrong: Words) -> Truth:
    """Which of these cells are nothing but digits, with their point."""
    import numpy as np

    if int(np.bitwise_or.reduce(wrong)) & _TOP_BITS:
        found: Truth = (wrong & np.uint64(_TOP_BITS)) == 0
        return found
    return np.ones(len(wrong), bool)


def _gathered(data: Bytes, at: Places) -> Words:
    """The eight bytes from each of these places on, which ascend; zeros stand before the first."""
    import numpy as np

    if len(data) < LONGEST:
        data = np.concatenate((data, np.zeros(LONGEST, np.uint8)))
    words: Words = np.ndarray((len(data) - LONGEST + 1,), "<u8", data, strides=(1,))
    early = int(np.searchsorted(at, 0))
    if not early:
        return words[at]
    found = words[np.maximum(at, 0)]
    for row in range(early):
        found[row] = int.from_bytes(
            data[: at[row] + LONGEST].tobytes().rjust(LONGEST, b"\0"), "little"
        )
    return found


def _of_four(found: Halves) -> Halves:
    """Four digits as a number, the first of them in the lowest byte."""
    import numpy as np

    pairs = found >> np.uint32(8)
    found *= np.uint32(10)
    found += pairs
    found &= np.uint32(0x00FF_00FF)
    found *= np.uint32((100 << 16) + 1)
    found >>= np.uint32(16)
    return found


def _of_eight(found: Words) -> Words:
    """Eight digits as a number, the first of them in the lowest byte."""
    import numpy as np

    pairs = found >> np.uint64(8)
    found *= np.uint64(10)
    found += pairs
    found &= np.uint64(0x00FF_00FF_00FF_00FF)
    found *= np.uint64((100 << 16) + 1)
    found >>= np.uint64(16)
    found &= np.uint64(0x0000_FFFF_0000_FFFF)
    found *= np.uint64((10_000 << 32) + 1)
    found >>= np.uint64(32)
    return found
