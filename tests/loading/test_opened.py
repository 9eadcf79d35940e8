"""A file as its root node: ``expert/loading/opened.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import Mistake
from expert.loading.opened import opened


def test_a_file_is_its_root_node_and_a_place_to_note_mistakes(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("- one\n- two\n")
    mistakes: list[Mistake] = []
    file = opened(path, "a.yaml", mistakes)
    assert file is not None
    root, reading = file
    reading.add(root.value[1], "wrong")
    assert [str(one) for one in reading.mistakes] == ["a.yaml:2:3: wrong"]
    assert mistakes == []


@pytest.mark.parametrize("text", [b"# nothing\n", b"- [one\n", b"\xff\xfe\xfa", b""])
def test_a_file_without_a_root_says_why(tmp_path: Path, text: bytes) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(text)
    mistakes: list[Mistake] = []
    assert opened(path, "a.yaml", mistakes) is None
    assert [one.place.file for one in mistakes] == ["a.yaml"]
    assert opened(tmp_path / "none.yaml", "none.yaml", mistakes) is None
    assert len(mistakes) == 2
