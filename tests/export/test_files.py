"""Files whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from expert.errors import MissingError
from expert.export.files import PART, staged, write_whole


def test_a_file_and_its_folders_are_made(tmp_path: Path) -> None:
    path = tmp_path / "a" / "b" / "tree.svg"
    write_whole(path, b"new")
    assert path.read_bytes() == b"new"
    assert [item.name for item in path.parent.iterdir()] == ["tree.svg"]


def test_an_old_file_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / "tree.svg"
    path.write_bytes(b"old")
    write_whole(path, b"new")
    assert path.read_bytes() == b"new"


@pytest.mark.skipif(os.name != "posix", reason="permission bits are those of POSIX")
def test_the_file_may_be_read_as_any_new_file(tmp_path: Path) -> None:
    write_whole(tmp_path / "ours", b"")
    (tmp_path / "theirs").touch()
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "theirs").stat().st_mode


def test_a_folder_in_the_way_is_said_and_nothing_is_left_behind(tmp_path: Path) -> None:
    (tmp_path / "tree.svg").mkdir()
    (tmp_path / "tree.svg" / "inside").touch()
    with pytest.raises(MissingError, match="cannot be written"):
        write_whole(tmp_path / "tree.svg", b"new")
    assert [item.name for item in tmp_path.iterdir()] == ["tree.svg"]


def test_a_file_in_place_of_the_folder_is_said(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("not a folder")
    with pytest.raises(MissingError, match=r"tree\.svg: cannot be written .*another place"):
        write_whole(tmp_path / "out" / "tree.svg", b"new")
    assert (tmp_path / "out").read_text() == "not a folder"


def test_a_full_disk_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "tree.svg"
    path.write_bytes(b"old")

    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(MissingError, match="No space left on device"):
        write_whole(path, b"new")
    assert path.read_bytes() == b"old"
    assert [item.name for item in tmp_path.iterdir()] == ["tree.svg"]


@pytest.mark.skipif(os.name != "posix", reason="links and pipes are those of POSIX")
def test_a_link_stays_a_link_and_a_pipe_is_written_to(tmp_path: Path) -> None:
    (tmp_path / "true.svg").write_bytes(b"old")
    (tmp_path / "tree.svg").symlink_to(tmp_path / "true.svg")
    write_whole(tmp_path / "tree.svg", b"new")
    assert (tmp_path / "tree.svg").is_symlink()
    assert (tmp_path / "true.svg").read_bytes() == b"new"
    os.mkfifo(tmp_path / "pipe")
    reader = os.open(tmp_path / "pipe", os.O_RDONLY | os.O_NONBLOCK)
    write_whole(tmp_path / "pipe", b"new")
    assert os.read(reader, 10) == b"new"
    os.close(reader)


@pytest.mark.skipif(os.name != "posix", reason="permission bits are those of POSIX")
def test_a_staged_file_may_be_read_as_the_one_that_it_replaces(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    part = staged(path, b"new")
    assert (part.read_bytes(), path.read_bytes()) == (b"new", b"old")
    assert part.parent == tmp_path
    assert part.suffix == PART
    assert part.stat().st_mode == path.stat().st_mode
