"""Files as text that give back their bytes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import KnowledgeError
from expert.workbench.add.rawtext import RawText

LINES = st.lists(st.sampled_from(["", "a: b", "  # note", "é: 日本"]), min_size=1, max_size=6)
ENDS = st.sampled_from(["\n", "\r\n"])


@given(lines=LINES, ends=st.data(), marked=st.booleans(), last=st.booleans())
def test_the_bytes_come_back(
    lines: list[str], ends: st.DataObject, marked: bool, last: bool
) -> None:
    text = "x" + "".join(line + ends.draw(ENDS) for line in lines) + "z" * last
    data = ("\ufeff" * marked + text).encode()
    raw = RawText.of(data, "f")
    assert raw.data() == data
    assert raw.text() == text.replace("\r\n", "\n")


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_lines_and_pieces_take_the_ends_of_their_file(end: str, mark: str) -> None:
    raw = RawText.of(f"{mark}a: b{end}c: d{end}".encode(), "f")
    assert raw.with_lines(1, "x: y\n").data().decode() == f"{mark}a: b{end}x: y{end}c: d{end}"
    assert raw.with_piece(1, 4, ",\n z").data().decode() == f"{mark}a: b{end}c: d,{end} z{end}"


def test_a_last_line_without_an_end_gets_one() -> None:
    raw = RawText.of(b"a: b\r\nc: d", "f")
    assert raw.with_lines(2, "x: y\n").data() == b"a: b\r\nc: d\r\nx: y\r\n"
    assert raw.with_piece(1, 4, "!").data() == b"a: b\r\nc: d!"
    assert RawText.of(b"a", "f").with_lines(1, "b\n").data() == b"a\nb\n"
    assert RawText(()).with_lines(0, "b\n").data() == b"b\n"


def test_what_the_loader_refuses_is_refused() -> None:
    for data in (b"", b"\xff", b"a: b\rc: d", b"a:\tb"):
        with pytest.raises(KnowledgeError):
            RawText.of(data, "f")
