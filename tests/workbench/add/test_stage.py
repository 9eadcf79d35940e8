"""Several files, all or none."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from expert.errors import GatepostError, MissingError
from expert.workbench.add import stage
from expert.workbench.add.plan import Change
from expert.workbench.add.stage import take_back, write_all


def tree(folder: Path) -> dict[str, bytes | None]:
    """Everything in a folder; None for a folder."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }


@pytest.fixture
def changes(tmp_path: Path) -> list[Change]:
    """A file that grows, a new file in a new folder, and another that grows."""
    (tmp_path / "a").write_bytes(b"old a")
    (tmp_path / "c").write_bytes(b"old c")
    return [
        Change(tmp_path / "a", b"old a", b"new a"),
        Change(tmp_path / "new" / "deep" / "b", None, b"new b"),
        Change(tmp_path / "c", b"old c", b"new c"),
    ]


def test_all_are_written(tmp_path: Path, changes: list[Change]) -> None:
    (tmp_path / "a").chmod(0o640)
    write_all(changes)
    assert tree(tmp_path) == {
        "a": b"new a",
        "c": b"new c",
        "new": None,
        "new/deep": None,
        "new/deep/b": b"new b",
    }
    if os.name == "posix":
        assert (tmp_path / "a").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("at", range(3))
@pytest.mark.parametrize("step", ["staging", "replacing"])
def test_when_one_fails_all_are_as_they_were(
    tmp_path: Path,
    changes: list[Change],
    monkeypatch: pytest.MonkeyPatch,
    step: str,
    at: int,
    error: BaseException,
) -> None:
    before = tree(tmp_path)
    count = 0
    fsync, replace = os.fsync, Path.replace

    def failing_fsync(handle: int) -> None:
        nonlocal count
        count += 1
        if count == at + 1:
            raise error
        fsync(handle)

    def failing_replace(self: Path, other: Path) -> Path:
        nonlocal count
        count += 1
        if count == at + 1:
            raise error
        return replace(self, other)

    if step == "staging":
        monkeypatch.setattr(stage.os, "fsync", failing_fsync)
    else:
        monkeypatch.setattr(Path, "replace", failing_replace)
    expected = MissingError if isinstance(error, OSError) else KeyboardInterrupt
    with pytest.raises(expected) as caught:
        write_all(changes)
    assert tree(tmp_path) == before
    if isinstance(error, OSError):
        assert "Every file is as it was" in str(caught.value)
        assert "the draft is kept" in str(caught.value)
        assert changes[at].path.name in str(caught.value)


def test_a_file_that_was_changed_meanwhile_stops_it_all(
    tmp_path: Path, changes: list[Change]
) -> None:
    (tmp_path / "c").write_bytes(b"somebody else")
    before = tree(tmp_path)
    with pytest.raises(GatepostError, match="changed meanwhile"):
        write_all(changes)
    assert tree(tmp_path) == before


def test_a_write_that_was_cut_short_can_be_finished(tmp_path: Path, changes: list[Change]) -> None:
    write_all(changes[:1])
    write_all(changes)
    assert (tmp_path / "c").read_bytes() == b"new c"
    write_all(changes)
    assert (tmp_path / "new" / "deep" / "b").read_bytes() == b"new b"


def test_what_was_written_can_be_taken_back(tmp_path: Path, changes: list[Change]) -> None:
    before = tree(tmp_path)
    write_all(changes)
    (tmp_path / "c").write_bytes(b"edited since")
    take_back(changes)
    assert (tmp_path / "new" / "deep").is_dir()
    (tmp_path / "new" / "deep").rmdir()
    (tmp_path / "new").rmdir()
    assert tree(tmp_path) == {**before, "c": b"edited since"}


@pytest.mark.skipif(os.name == "nt", reason="links need rights there")
def test_a_link_stays_a_link(tmp_path: Path, changes: list[Change]) -> None:
    (tmp_path / "elsewhere").write_bytes(b"old a")
    (tmp_path / "a").unlink()
    (tmp_path / "a").symlink_to("elsewhere")
    write_all(changes)
    assert (tmp_path / "a").is_symlink()
    assert (tmp_path / "elsewhere").read_bytes() == b"new a"


def test_a_folder_in_the_place_of_a_file(tmp_path: Path, changes: list[Change]) -> None:
    (tmp_path / "c").unlink()
    (tmp_path / "c").mkdir()
    before = tree(tmp_path)
    with pytest.raises(MissingError):
        write_all(changes)
    assert tree(tmp_path) == before
