"""The folder that is written into."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from expert.errors import KnowledgeError, MissingError, UsageError
from expert.workbench.add import target
from tests.workbench.add import folders


def test_the_last_overlay_or_the_clone_is_written_into(base: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    two.mkdir()
    assert target.choose(None, []).folders == (base,)
    assert target.choose(None, [one, two]).folder == two
    chosen = target.choose(one, [one, two])
    assert (chosen.folder, chosen.folders) == (one, (base, one, two))
    assert chosen.is_before(two / "checks" / "x.yaml")
    assert not chosen.is_before(base / "checks" / "x.yaml")


def test_a_new_folder_comes_last_and_is_not_read(base: Path, tmp_path: Path) -> None:
    chosen = target.choose(tmp_path / "new", [])
    assert chosen.folders == (base, tmp_path / "new")
    assert chosen.there() == [base]
    assert "ring-missing" in target.read(chosen).knowledge.causes
    assert not (tmp_path / "new").exists()


def test_an_overlay_must_be_there(base: Path, tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="there is no such folder"):
        target.choose(None, [tmp_path / "gone"])


def test_the_installed_program_is_not_written_into(monkeypatch: pytest.MonkeyPatch) -> None:
    inside = Path(target.__file__).resolve().parents[2] / "knowledge"
    monkeypatch.setattr(target, "shipped_folder", lambda: inside)
    with pytest.raises(UsageError, match="--into DIR"):
        target.choose(None, [])


@pytest.mark.parametrize(
    ("name", "said"),
    [("file", "this is a file"), ("no/such/place", "parent folder does not exist")],
)
def test_what_is_no_folder_is_refused(base: Path, tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(MissingError, match=said):
        target.choose(tmp_path / name, [])


def test_a_read_only_folder_is_refused(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    # The superuser may write anywhere, so the system is asked in its place.
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) != shop)
    with pytest.raises(MissingError, match="read-only"):
        target.choose(shop, [])


def test_mistakes_are_raised_before_anything_is_asked(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    (shop / "causes").mkdir(parents=True)
    (shop / "causes" / "x.yaml").write_text("x: {title: y}\n")
    with pytest.raises(KnowledgeError, match="is missing"):
        target.read(target.choose(shop, []))


def test_files_are_found_by_their_names_in_messages(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    (shop / "checks").mkdir(parents=True)
    text = folders.LID.replace("lid:", "cover:").replace("bolts:", "nuts:")
    (shop / "checks" / "mine.yaml").write_text(text)
    (shop / "checks" / ".hidden.yaml").write_text("x")
    place, loaded, setting = folders.opened(shop)
    paths = target.paths_by_shown(place)
    assert paths[loaded.places.file("check", "cover")] == shop / "checks" / "mine.yaml"
    assert paths[loaded.places.file("symptom", "lazy")] == base / "symptoms" / "lazy.yaml"
    assert setting.files == {"cause": {}, "check": {"mine": ("cover", "nuts")}}
