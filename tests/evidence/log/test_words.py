"""Short cells as machine words: ``expert/evidence/log/words.py``, against Python's own numbers."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.evidence.log import words

POINT = ord(".")


def read(cells: list[str], place: int | None, ahead: str = "") -> list[float | None]:
    """What the words of these cells say; None where one is not sound."""
    raw = [cell.encode("latin-1") for cell in cells]
    data = np.frombuffer(ahead.encode() + b",".join(raw), np.uint8)
    lengths = np.array([len(cell) for cell in raw])
    ends = len(ahead) + np.cumsum(lengths + 1) - 1
    point = None if place is None else POINT
    found, wrong = words.whole_numbers(data, ends, lengths, point, place or 0)
    values = found.astype(float) / 10 ** (place or 0)
    return [
        value if good else None
        for value, good in zip(values.tolist(), words.sound(wrong).tolist(), strict=True)
    ]


@given(st.lists(st.integers(0, 99_999_999), min_size=1), st.text("0;", max_size=9))
def test_whole_numbers_are_those_of_int(numbers: list[int], ahead: str) -> None:
    assert read([str(number) for number in numbers], None, ahead) == numbers


@settings(max_examples=300)
@given(st.integers(0, 6), st.lists(st.integers(0, 9_999_999), min_size=1), st.data())
def test_decimals_are_those_of_float(place: int, numbers: list[int], data: st.DataObject) -> None:
    cells = [f"{number / 10**place:.{place}f}"[-8:] for number in numbers]
    cells = [cell if place else f"{cell[-7:]}." for cell in cells]
    ahead = data.draw(st.text("09.;", max_size=9))
    assert read(cells, place, ahead) == [float(cell) for cell in cells]


@settings(max_examples=500)
@given(
    st.text([chr(code) for code in range(256) if chr(code) != ","], min_size=1, max_size=8),
    st.integers(0, 6),
)
def test_what_is_sound_has_digits_and_its_point_only(cell: str, place: int) -> None:
    digits = cell.isascii() and cell.isdigit()
    assert (read([cell], None)[0] is not None) == digits
    if len(cell) <= place:
        return
    at = len(cell) - 1 - place
    rest = cell[:at] + cell[at + 1 :]
    pointed = cell[at] == "." and rest.isascii() and (rest.isdigit() or not rest)
    assert (read([cell], place)[0] is not None) == pointed


def test_a_cell_that_is_not_sound_leaves_the_others_alone() -> None:
    assert read(["12.5", "1x.5", "-2.5", "99.9"], 1) == [12.5, None, None, 99.9]


def test_cells_at_the_very_beginning_have_nothing_before_them() -> None:
    assert read(["7", "8"], None) == [7.0, 8.0]
