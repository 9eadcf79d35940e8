"""Files as they are on the disk, and how they are written back."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import MissingError
from expert.loading.document import Document
from expert.loading.kinds import CASE, KINDS
from expert.rules.rule import Edit, Fix
from expert.workbench.check_files import edited, files_of, mended, texts_of, write_all


def test_names_are_those_of_messages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "shop" / "checks").mkdir(parents=True)
    for name in ("tools.yaml", "checks/a.yaml", "notes.md"):
        (tmp_path / "shop" / name).write_text("x", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert set(files_of([Path("shop")])) == {"shop/tools.yaml", "shop/checks/a.yaml"}
    monkeypatch.chdir(tmp_path / "shop")
    assert set(files_of([Path()])) == {"tools.yaml", "checks/a.yaml"}


def test_texts_keep_what_the_loader_passes_over(tmp_path: Path) -> None:
    path = tmp_path / "tools.yaml"
    path.write_bytes(b"\xef\xbb\xbflamp: {title: a}\r\n")
    files = files_of([tmp_path])
    document = Document(str(path), "lamp: {title: a}\n")
    (text,) = texts_of([(KINDS["tool"], document)], files)
    assert (text.kind, text.file, text.text) == ("tool", str(path), "\ufefflamp: {title: a}\r\n")
    assert text.schema_line is None


def test_the_line_of_the_schema_is_that_of_the_kind(tmp_path: Path) -> None:
    (tmp_path / "schema").mkdir()
    (tmp_path / "causes").mkdir()
    for name in ("check", "cases"):
        (tmp_path / "schema" / f"{name}.json").write_text("{}", encoding="utf-8")
    names = {"a.cases.yaml": CASE, "causes/a.cases.yaml": CASE, "causes/b.yaml": KINDS["cause"]}
    for name in names:
        (tmp_path / name).write_text("x", encoding="utf-8")
    documents = [(kind, Document(str(tmp_path / name), "x")) for name, kind in names.items()]
    lines = [text.schema_line for text in texts_of(documents, files_of([tmp_path]))]
    head = "# yaml-language-server: $schema="
    assert lines == [f"{head}schema/cases.json", f"{head}../schema/cases.json", None]


def test_edits_are_made_together() -> None:
    edits = [Edit(4, 5, ""), Edit(0, 1, "A"), Edit(2, 2, "-")]
    assert edited("abcdef", edits) == "Ab-cdf"


def test_of_edits_that_overlap_the_first_is_made() -> None:
    assert edited("abcdef", [Edit(1, 4, "X"), Edit(2, 3, "Y")]) == "aXef"


@given(st.text("ab\n", max_size=20), st.data())
def test_text_outside_the_edits_stays(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, len(text)))
    assert edited(text, [Edit(start, end, "X")]) == text[:start] + "X" + text[end:]
    assert edited(text, []) == text


def changes(folder: Path, *names: str) -> dict[Path, tuple[bytes, bytes]]:
    for name in names:
        (folder / name).write_bytes(b"old")
    return {folder / name: (b"old", b"new") for name in names}


def test_files_are_written_whole_and_keep_their_mode(tmp_path: Path) -> None:
    there = changes(tmp_path, "a.yaml", "b.yaml")
    (tmp_path / "a.yaml").chmod(0o640)
    write_all(there)
    assert [path.read_bytes() for path in sorted(tmp_path.iterdir())] == [b"new", b"new"]
    assert stat.S_IMODE((tmp_path / "a.yaml").stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    changes(tmp_path, "real.yaml")
    (tmp_path / "link.yaml").symlink_to("real.yaml")
    write_all({tmp_path / "link.yaml": (b"old", b"new")})
    assert (tmp_path / "link.yaml").is_symlink()
    assert (tmp_path / "real.yaml").read_bytes() == b"new"


def test_a_file_that_changed_meanwhile_is_kept_and_no_other_is_written(tmp_path: Path) -> None:
    there = changes(tmp_path, "a.yaml", "b.yaml")
    (tmp_path / "b.yaml").write_bytes(b"mine")
    with pytest.raises(MissingError, match=r"b\.yaml: the file has changed meanwhile"):
        write_all(there)
    assert (tmp_path / "a.yaml").read_bytes() == b"old"
    assert (tmp_path / "b.yaml").read_bytes() == b"mine"
    assert len(list(tmp_path.iterdir())) == 2


def test_a_file_that_will_not_be_written_is_one_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # As for anybody who is not the administrator of the machine.
    there = changes(tmp_path, "a.yaml", "b.yaml")
    monkeypatch.setattr(os, "access", lambda path, _: Path(path).name != "b.yaml")
    with pytest.raises(MissingError, match=r"b\.yaml: cannot be written \(it is read-only\)"):
        write_all(there)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {
        "a.yaml": b"old",
        "b.yaml": b"old",
    }


def test_a_folder_that_takes_no_files_is_one_message(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = changes(tmp_path, "a.yaml")
    plain = Path.open

    def refused(self: Path, mode: str = "r", *rest: object, **more: object) -> object:
        if mode == "xb":
            raise PermissionError(13, "Permission denied")
        return plain(self, mode, *rest, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(MissingError, match=r"cannot be written \(Permission denied\)"):
        write_all(there)
    assert (tmp_path / "a.yaml").read_bytes() == b"old"


def test_fixes_of_one_file_are_gathered(tmp_path: Path) -> None:
    path = tmp_path / "tools.yaml"
    path.write_bytes(b"a  \nb\n")
    fixes = [Fix(str(path), (Edit(1, 3, ""),)), Fix(str(path), (Edit(4, 5, "B"),))]
    assert mended(fixes, files_of([tmp_path])) == {path: (b"a  \nb\n", b"a\nB\n")}
