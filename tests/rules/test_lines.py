"""Offsets as places, against counting by hand."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from expert.rules.lines import Lines


@given(st.text("ab\n", max_size=30), st.data())
def test_places_are_those_of_a_plain_count(text: str, data: st.DataObject) -> None:
    offset = data.draw(st.integers(0, len(text)))
    before = text[:offset]
    place = Lines("x.yaml", text).place(offset)
    assert place.file == "x.yaml"
    assert place.line == before.count("\n") + 1
    assert place.column == len(before.rpartition("\n")[2]) + 1


def test_a_byte_order_mark_takes_no_column() -> None:
    lines = Lines("x.yaml", "\ufeffab\nc")
    assert [lines.place(k).column for k in range(5)] == [1, 1, 2, 3, 1]
