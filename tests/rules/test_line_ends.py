"""Lines that end in CR LF, counted in one finding a file."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines


def test_the_first_of_them_is_shown(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp:\n  title: a lamp\r\ntorch:\r\n  title: a torch\n"}
    message = "2 lines end in CR LF; save the file with LF alone"
    assert lines("line-ends", tmp_path, files) == [f"tools.yaml:2:16: {message}"]


def test_one_line_is_one(tmp_path: Path) -> None:
    (found,) = lines("line-ends", tmp_path, {"tools.yaml": "lamp: {title: a lamp}\r\n"})
    assert found.startswith("tools.yaml:1:22: 1 line ends in CR LF")


def test_plain_ends_are_fine(tmp_path: Path) -> None:
    assert lines("line-ends", tmp_path, {"tools.yaml": "lamp: {title: a lamp}\n"}) == []
