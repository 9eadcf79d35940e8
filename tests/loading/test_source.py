"""Files to text: ``expert/loading/source.py``."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import KnowledgeError, Mistake, Place
from expert.loading.source import MOST_BYTES, place_of, read_bytes, shown_path, to_text


def refusal(path: Path) -> Mistake:
    with pytest.raises(KnowledgeError) as caught:
        to_text(read_bytes(path, "file.yaml"), "file.yaml")
    (mistake,) = caught.value.mistakes
    return mistake


def test_a_file_that_is_missing(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.yaml") == Mistake(
        Place("file.yaml", 1, 1), "there is no such file"
    )


def test_a_folder(tmp_path: Path) -> None:
    assert refusal(tmp_path).message == "this is a folder; expected a file"


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "secret.yaml"
    path.write_text("a: b")
    path.chmod(0)
    if os.access(path, os.R_OK):
        # The superuser may read everything, so the refusal of the system is played.
        def refuse(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(Path, "open", refuse)
    assert refusal(path).message == (
        "the file cannot be read (Permission denied); check its permissions"
    )


def test_what_is_no_ordinary_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    assert refusal(tmp_path / "pipe.yaml").message.startswith("this is not an ordinary file")
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "s"))
        assert refusal(tmp_path / "s").message.startswith("this is not an ordinary file")
    (tmp_path / "zero.yaml").symlink_to("/dev/zero")
    assert refusal(tmp_path / "zero.yaml").message.startswith("this is not an ordinary file")


def test_a_name_with_a_nul_byte() -> None:
    assert "cannot be read" in refusal(Path("a\0b")).message


def test_200_mb_are_refused_by_their_size(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "large.yaml"
    path.touch()
    os.truncate(path, 200 * 10**6)

    def never(*_: object, **__: object) -> None:
        raise AssertionError("a file this large must not be opened")

    monkeypatch.setattr(Path, "open", never)
    assert refusal(path).message == (
        "the file has 190.7 MiB; at most 1 MiB is read, so split it by topic"
    )


def test_one_mebibyte_is_the_most(tmp_path: Path) -> None:
    path = tmp_path / "edge.yaml"
    path.write_bytes(b"#" * MOST_BYTES)
    assert len(read_bytes(path, "file.yaml")) == MOST_BYTES
    path.write_bytes(b"#" * (MOST_BYTES + 1))
    assert refusal(path).message.startswith("the file has 1.0 MiB")


@pytest.mark.parametrize("data", [b"", b"\n", b"  \r\n\t\n", b"\xef\xbb\xbf", b"\xef\xbb\xbf \n"])
def test_an_empty_file(data: bytes) -> None:
    with pytest.raises(KnowledgeError, match=r"^f:1:1: the file is empty$"):
        to_text(data, "f")


def test_byte_order_mark_and_crlf_are_accepted() -> None:
    assert to_text(b"\xef\xbb\xbfa: b\r\nc: d\r\n", "f") == "a: b\nc: d\n"


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        # ISO 8859-1 text, overlong form, surrogate and a cut sequence are no UTF-8 (RFC 3629).
        (b"a: b\nc: gr\xf6sser", "f:2:6: the byte 0xF6 is not UTF-8; save the file as UTF-8"),
        (b"\xef\xbb\xbfa: \xc0\xaf", "f:1:4: the byte 0xC0 is not UTF-8"),
        (b"a\r\nb: \xed\xa0\x80", "f:2:4: the byte 0xED is not UTF-8"),
        ("größe: ".encode() + b"\xc3", "f:1:8: the byte 0xC3 is not UTF-8"),
        # The first bytes of a PNG file (W3C PNG specification, 5.2) and UTF-16 text.
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "f:1:1: this is not a text file; expected YAML"),
        ("title: x".encode("utf-16"), "f:1:1: this is not a text file; expected YAML"),
    ],
)
def test_what_is_not_utf_8(data: bytes, expected: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        to_text(data, "f")
    assert str(caught.value).startswith(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: b\n\tc: d", "f:2:1: found a tab; use spaces"),
        ("a: \x07", "f:1:4: found the invisible character U+0007; delete it"),
        ("a\x00b", "f:1:2: found the invisible character U+0000; delete it"),
        ("a: \x1b[31m", "f:1:4: found the invisible character U+001B; delete it"),
        ("a\n\nbc\x7f", "f:3:3: found the invisible character U+007F; delete it"),
        (
            "a: b\rc: d",
            "f:1:5: found a carriage return without a line feed; save it with other line ends",
        ),
        ("a: \x85", "f:1:4: found the invisible character U+0085; delete it"),
        ("ä: \u202egnp", "f:1:4: found the invisible character U+202E; delete it"),
        ("a: \u2066x", "f:1:4: found the invisible character U+2066; delete it"),
        ("a\u200b: b", "f:1:2: found the invisible character U+200B; delete it"),
        ("a\u2028b: c", "f:1:2: found the invisible character U+2028; delete it"),
        ("a: b\ufeff", "f:1:5: found the invisible character U+FEFF; delete it"),
        ("a: \uffff", "f:1:4: found the invisible character U+FFFF; delete it"),
        ("a: \U000e0041", "f:1:4: found the invisible character U+E0041; delete it"),
    ],
)
def test_invisible_characters(text: str, expected: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        to_text(text.encode(), "f")
    assert str(caught.value) == expected


def test_each_invisible_character_is_reported_up_to_ten() -> None:
    with pytest.raises(KnowledgeError) as caught:
        to_text(b"a\tb\nc\td", "f")
    assert [str(mistake.place) for mistake in caught.value.mistakes] == ["f:1:2", "f:2:2"]
    with pytest.raises(KnowledgeError) as caught:
        to_text(b"x\t" * 1000, "f")
    assert len(caught.value.mistakes) == 10


def test_other_text_is_left_alone() -> None:
    text = "größer als 20 °C, „ja“ 日本語 😀\n"
    assert to_text(text.encode(), "f") == text


@given(st.binary(max_size=200))
def test_any_bytes_give_text_or_a_mistake_inside_them(data: bytes) -> None:
    try:
        text = to_text(data, "f")
    except KnowledgeError as error:
        for mistake in error.mistakes:
            lines = data.split(b"\n")
            assert 1 <= mistake.place.line <= len(lines)
            assert 1 <= mistake.place.column <= len(lines[mistake.place.line - 1]) + 1
    else:
        assert data.decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n") == text


def test_the_place_of_a_character() -> None:
    assert place_of("ab\ncd", 0, "f") == Place("f", 1, 1)
    assert place_of("ab\ncd", 4, "f") == Place("f", 2, 2)
    assert place_of("ab\n", 3, "f") == Place("f", 2, 1)


def test_paths_are_shown_from_the_current_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "in"
    inside.mkdir()
    monkeypatch.chdir(tmp_path)
    assert shown_path(inside / "a.yaml") == str(Path("in/a.yaml"))
    assert shown_path(Path("in/a.yaml")) == str(Path("in/a.yaml"))
    monkeypatch.chdir(inside)
    assert shown_path(tmp_path / "a.yaml") == str(tmp_path / "a.yaml")
    assert shown_path(Path("a\x1b[31m\n.yaml")) == "a .yaml"
    inside.rmdir()
    assert shown_path(Path("a.yaml")) == "a.yaml"
