"""Bytes of a log as whole lines: ``expert/evidence/log/source.py``."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log import source
from expert.evidence.log.errors import LogError

lines = st.lists(st.text("abc012 ,;é°", max_size=8), min_size=1, max_size=12)


def whole(data: bytes) -> str:
    found = source.from_bytes("log.csv", data)
    return "".join(map(found.text, found.blocks()))


@given(
    lines,
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
)
def test_any_encoding_and_line_end_gives_the_same_lines(
    text: list[str], newline: str, encoding: str
) -> None:
    data = ("name\xb0\n" + "\n".join(text)).replace("\n", newline).encode(encoding)
    assert whole(data) == "name\xb0\n" + "\n".join(text)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-be"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_blocks_end_with_a_line(
    encoding: str, newline: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(source, "BLOCK", 50)
    text = "".join(f"{k},{k * k}{newline}" for k in range(200))
    found = source.from_bytes("log.csv", text.encode(encoding))
    blocks = list(found.blocks())
    assert len(blocks) > 5
    assert all(block.endswith(b"\n") for block in blocks)
    assert b"".join(blocks).decode() == text.replace(newline, "\n")


@given(st.integers(0, 2000), st.integers(1, 300), st.sampled_from(["utf-8", "utf-16"]))
def test_a_piece_is_whole_lines(at: int, length: int, encoding: str) -> None:
    every = [f"line {k} of the file" for k in range(60)]
    found = source.from_bytes("log.csv", "".join(f"{line}\n" for line in every).encode(encoding))
    piece = found.text(found.piece(at, length))
    assert set(piece.split("\n")) - {""} <= set(every)
    assert len(piece) <= length + 1


def test_nul_bytes_of_a_logger_without_power_are_left_out() -> None:
    assert whole(b"time,boost\n1,\x002\n" + b"\0" * 5000) == "time,boost\n1,2\n"


@pytest.mark.parametrize(
    ("data", "word"),
    [(b"", "empty"), (b"\0" * 100, "binary"), (b"%PDF-1.7", "PDF"), (b"a\x01\x02\x03", "binary")],
)
def test_what_is_no_text_is_refused(data: bytes, word: str) -> None:
    with pytest.raises(LogError, match=word):
        source.from_bytes("log.csv", data)


def test_a_line_without_end_is_refused_before_all_of_it_is_read() -> None:
    found = source.from_bytes("log.csv", b"a\n" + b"1" * (5 * source.LONGEST_LINE))
    with pytest.raises(LogError, match="line of more than 1 MiB"):
        list(found.blocks())


def test_mdf_is_known_by_its_first_block() -> None:
    assert source.from_bytes("log", b"MDF     4.10").encoding == source.MDF
    assert source.from_bytes("log", b"UnFinMF 4.10").encoding == source.MDF
