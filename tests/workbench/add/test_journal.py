"""Drafts on the disk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import GatepostError, MissingError
from expert.workbench.add.draft import Answer, Draft
from expert.workbench.add.journal import (
    SUFFIX,
    DraftFile,
    drafts,
    drafts_folder,
    parse,
    read,
)
from expert.workbench.add.plan import Change


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[DraftFile]:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path))
    start = Draft().answered("kind", ("cause",))
    made = DraftFile.new(tmp_path / "shop", [tmp_path / "one"], start)
    yield made
    made.close()


def test_a_draft_begins_with_its_first_answer(file: DraftFile, tmp_path: Path) -> None:
    assert not file.path.exists()
    file.answered("title", ('Größe: "x" # 日本\ud800',))
    file.answered("id", ("x",))
    file.undone()
    kept = read(file.path)
    assert (kept.into, kept.knowledge) == (tmp_path / "shop", (tmp_path / "one",))
    assert kept.draft.answers == (
        Answer("kind", ("cause",)),
        Answer("title", ('Größe: "x" # 日本?',)),
    )
    assert drafts(drafts_folder()) == [file.path]
    file.discard()
    assert drafts(drafts_folder()) == []


def test_a_draft_is_taken_up_again(file: DraftFile) -> None:
    file.answered("title", ("a",))
    file.close()
    again = DraftFile.again(read(file.path))
    again.answered("id", ())
    again.close()
    assert [answer.key for answer in read(file.path).draft.answers] == ["kind", "title", "id"]


def test_one_at_a_time(file: DraftFile) -> None:
    file.answered("title", ("a",))
    with pytest.raises(GatepostError, match="another Gatepost has this draft open"):
        DraftFile.again(read(file.path))
    file.close()


def test_a_write_that_was_cut_short_is_known(file: DraftFile, tmp_path: Path) -> None:
    changes = (Change(tmp_path / "a", None, b"\xff\x00"), Change(tmp_path / "b", b"", b"x"))
    file.answered("title", ("a",))
    file.writing(changes)
    assert read(file.path).writing == changes
    file.undone()
    assert read(file.path).writing == ()


@given(st.integers(0, 200))
def test_a_torn_last_line_is_left_out(cut: int) -> None:
    lines = [
        b'{"format": 1, "into": "/i", "knowledge": []}\n',
        b'{"key": "kind", "value": ["cause"]}\n',
        b'{"key": "title", "value": ["x"]}\n',
    ]
    data = b"".join(lines)[: len(lines[0]) + cut]
    kept = parse(data, Path("d"))
    whole = data.count(b"\n") - 1
    assert len(kept.draft.answers) == whole


def test_a_torn_line_is_cut_off_before_more_is_written(file: DraftFile) -> None:
    file.answered("title", ("a",))
    file.close()
    with file.path.open("ab") as stream:
        stream.write(b'{"key": "id", "va')
    again = DraftFile.again(read(file.path))
    again.answered("id", ("b",))
    again.close()
    assert [answer.value for answer in read(file.path).draft.answers][1:] == [("a",), ("b",)]


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"hello\n",
        b"[]\n",
        b'{"format": 2, "into": "/i", "knowledge": []}\n',
        b'{"format": 1}\n',
        b'{"format": 1, "into": "/i\\u0000", "knowledge": []}\n',
        b'{"format": 1, "into": "/i", "knowledge": [""]}\n',
        b'{"format": 1, "into": "/i", "knowledge": []}\n{"key": 1, "value": []}\n',
        b'{"format": 1, "into": "/i", "knowledge": []}\n{"key": "a", "value": "b"}\n',
        b'{"format": 1, "into": "/i", "knowledge": []}\n[1]\n',
        b'{"format": 1, "into": "/i", "knowledge": []}\n{"writing": [{"path": "x"}]}\n',
        b'{"format": 1, "into": "/i", "knowledge": []}\n\xff\n',
    ],
)
def test_any_other_damage_is_one_message(damage: bytes) -> None:
    with pytest.raises(GatepostError, match=r"d:\d:1: this line of the draft cannot be read"):
        parse(damage, Path("d"))


def test_what_was_typed_before_the_damage_can_be_kept() -> None:
    head = b'{"format": 1, "into": "/i", "knowledge": []}\n'
    with pytest.raises(GatepostError, match="Delete this line and all below it to go on"):
        parse(head + b"{\n", Path("d"))
    with pytest.raises(GatepostError, match="Delete the file to begin anew"):
        parse(b"{\n", Path("d"))


@given(st.binary(max_size=200))
def test_no_bytes_bring_it_down(data: bytes) -> None:
    try:
        parse(data, Path("d"))
    except GatepostError:
        return


def test_a_place_that_cannot_be_written_is_one_message(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    file = DraftFile(tmp_path / "file" / f"a{SUFFIX}", tmp_path, [])
    with pytest.raises(MissingError, match="draft cannot be kept"):
        file.answered("title", ("a",))
    with pytest.raises(MissingError, match="cannot be read"):
        read(tmp_path / "gone")
    assert drafts(tmp_path / "gone") == []
