"""The end of a file."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines


def test_a_line_without_its_break(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp: {title: a lamp}"}
    message = "the last line has no line break; add one"
    assert lines("last-line", tmp_path, files) == [f"tools.yaml:1:22: {message}"]


def test_empty_lines_at_the_end(tmp_path: Path) -> None:
    message = "empty lines at the end of the file; delete them"
    files = {"tools.yaml": "lamp: {title: a lamp}\n\n\n"}
    assert lines("last-line", tmp_path, files) == [f"tools.yaml:2:1: {message}"]
    files = {"tools.yaml": "lamp: {title: a lamp}\r\n\r\n"}
    assert lines("last-line", tmp_path, files) == [f"tools.yaml:2:1: {message}"]


def test_one_break_is_fine(tmp_path: Path) -> None:
    assert lines("last-line", tmp_path, {"tools.yaml": "lamp: {title: a lamp}\n"}) == []
    assert lines("last-line", tmp_path, {"tools.yaml": "lamp: {title: a lamp}\r\n"}) == []
