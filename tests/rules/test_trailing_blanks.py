"""Blanks at the end of a line, each with its place."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines


def test_every_line_is_shown(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp:   \n  title: a lamp \r\n# end  "}
    message = "blanks at the end of the line; delete them"
    assert lines("trailing-blanks", tmp_path, files) == [
        f"tools.yaml:1:6: {message}",
        f"tools.yaml:2:16: {message}",
        f"tools.yaml:3:6: {message}",
    ]


def test_blanks_inside_a_line_are_fine(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp:  {title: a    lamp}\n"}
    assert lines("trailing-blanks", tmp_path, files) == []
