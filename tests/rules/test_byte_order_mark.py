"""A byte order mark is pointed at, and the rest of the line keeps its columns."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import lines


def test_it_stands_in_the_first_column(tmp_path: Path) -> None:
    files = {"tools.yaml": "\ufefflamp: {title: a lamp}\n"}
    message = "the file begins with a byte order mark; save it as UTF-8 without one"
    assert lines("byte-order-mark", tmp_path, files) == [f"tools.yaml:1:1: {message}"]


def test_a_mark_inside_is_none(tmp_path: Path) -> None:
    assert lines("byte-order-mark", tmp_path, {"tools.yaml": "lamp: {title: a lamp}\n"}) == []
