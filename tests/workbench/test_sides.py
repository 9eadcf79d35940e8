"""What a name on the command line means: ``expert/workbench/sides.py``."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from expert.errors import KnowledgeError, MissingError, UsageError
from expert.workbench import sides as module
from expert.workbench.sides import needs_own, side, sides, working
from tests.loading.folders import SMALL, edited, write
from tests.workbench.repository import commit


@pytest.fixture
def clone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository that holds the small knowledge, which counts as the shipped one."""
    folder = tmp_path / "clone"
    write(folder / "knowledge")
    monkeypatch.chdir(folder)
    monkeypatch.setattr(module, "shipped_folder", lambda: folder / "knowledge")
    commit(folder, "the first")
    return folder


def overlay(folder: Path, title: str = "No ring") -> Path:
    """A folder that overrides one cause."""
    (folder / "causes").mkdir(parents=True)
    text = SMALL["causes/all.yaml"].split("hose-off:")[0].replace("Ring left out", title)
    (folder / "causes" / "mine.yaml").write_text(text, encoding="utf-8")
    return folder


def titles(*named: module.Side) -> list[str]:
    return [one.loaded.knowledge.causes["ring-missing"].title for one in named]


def test_a_revision_and_what_is_loaded(clone: Path) -> None:
    write(clone / "knowledge", edited("causes/all.yaml", "Ring left out", "Ring gone"))
    old, new = sides("HEAD", None, [])
    assert titles(old, new) == ["Ring left out", "Ring gone"]
    assert (old.name, new.name) == ("HEAD", "the folders as loaded")
    assert str(old.place("cause", "ring-missing")) == "HEAD:knowledge/causes/all.yaml:1:1"
    assert str(new.place("cause", "ring-missing")) == "knowledge/causes/all.yaml:1:1"


def test_two_revisions_and_a_path(clone: Path) -> None:
    overlay(clone / "shop")
    write(clone / "knowledge", edited("causes/all.yaml", "Ring left out", "Ring gone"))
    commit(clone, "the second")
    old, new = sides("main~1", "main:shop", [])
    assert titles(old, new) == ["Ring left out", "No ring"]
    assert str(new.place("cause", "ring-missing")) == "main:shop/causes/mine.yaml:1:1"
    assert str(new.place("check", "light")).startswith("knowledge/checks/all.yaml")
    assert titles(side("main:knowledge/", [])) == ["Ring gone"]


def test_one_s_own_folders_as_they_were(clone: Path, tmp_path: Path) -> None:
    shop, elsewhere = overlay(clone / "shop", "Then"), overlay(tmp_path / "elsewhere", "Elsewhere")
    commit(clone, "the second")
    mine = shop / "causes" / "mine.yaml"
    mine.write_text(mine.read_text(encoding="utf-8").replace("Then", "Now"), encoding="utf-8")
    assert titles(*sides("HEAD", None, [shop])) == ["Then", "Now"]
    # It was not there yet, so it adds nothing; one outside of the repository is as it is.
    assert titles(*sides("HEAD~1", None, [shop])) == ["Ring left out", "Now"]
    assert titles(*sides("HEAD~1", None, [elsewhere])) == ["Elsewhere", "Elsewhere"]
    assert titles(*sides("HEAD~1", "HEAD", [shop])) == ["Ring left out", "Then"]


def test_a_folder_alone_or_over_the_shipped_one(clone: Path, tmp_path: Path) -> None:
    overlay(tmp_path / "shop")
    whole = write(tmp_path / "whole", edited("causes/all.yaml", "Ring left out", "Whole"))
    assert titles(*sides(str(whole), str(tmp_path / "shop"), [])) == ["Whole", "No ring"]
    # A folder goes before a revision of that name.
    overlay(clone / "main")
    assert titles(side("main", [])) == ["No ring"]
    assert not needs_own("main")
    assert needs_own("HEAD")
    assert not needs_own("HEAD:knowledge")


def test_knowledge_that_would_not_be_used_is_refused(clone: Path, tmp_path: Path) -> None:
    shop = overlay(tmp_path / "shop")
    with pytest.raises(UsageError, match="--knowledge is not used"):
        sides("knowledge", str(shop), [shop])


def test_the_shipped_folder_of_an_installed_program(
    clone: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    installed = write(tmp_path / "installed", edited("causes/all.yaml", "Ring left out", "There"))
    monkeypatch.setattr(module, "shipped_folder", lambda: installed)
    assert titles(side("HEAD", []), working([])) == ["Ring left out", "There"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("HEAD:nothing", "There is no knowledge folder 'nothing' in HEAD"),
        ("HEAD:knowledge/policy.yaml", "There is no knowledge folder"),
        ("nothing", "There is no folder and no revision 'nothing'"),
        ("nothing/at/all", "There is no folder and no revision"),
        ("knowledge/policy.yaml", "is a file; expected a folder or a revision"),
        ("-x", "cannot begin with a hyphen"),
        ("HEAD:-x", "There is no knowledge folder '-x'"),
        ("HEAD:a\nb", "is neither a folder nor a revision"),
        ("a\0b", "is neither a folder nor a revision"),
        ("", "is neither a folder nor a revision"),
        ("x" * 5000, "is neither a folder nor a revision"),
    ],
)
def test_one_message_for_what_cannot_be_had(clone: Path, text: str, expected: str) -> None:
    with pytest.raises((MissingError, UsageError)) as caught:
        side(text, [])
    assert expected in str(caught.value)
    assert str(caught.value).isprintable()


def test_a_revision_without_knowledge(clone: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "readme").write_text("x", encoding="utf-8")
    commit(other)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(other)
        with pytest.raises(MissingError, match="There is no knowledge folder in HEAD"):
            side("HEAD", [])


def test_more_folders_than_ten_are_told_apart(clone: Path) -> None:
    shops = [overlay(clone / f"shop-{k}", f"Ring {k}") for k in range(12)]
    commit(clone)
    found = side("HEAD", shops)
    assert titles(found) == ["Ring 11"]
    assert str(found.place("cause", "ring-missing")) == "HEAD:shop-11/causes/mine.yaml:1:1"


def test_mistakes_of_a_revision_are_told_in_their_place(clone: Path) -> None:
    write(clone / "knowledge", edited("tools.yaml", "title", "titel"))
    commit(clone)
    write(clone / "knowledge", {"tools.yaml": SMALL["tools.yaml"]})
    with pytest.raises(KnowledgeError) as caught:
        side("HEAD", [])
    assert str(caught.value).startswith("HEAD:knowledge/tools.yaml:1:8: the key 'titel'")
    assert "gatepost-" not in str(caught.value)


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may read all")
def test_a_folder_that_may_not_be_entered_is_no_revision(clone: Path, tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.mkdir(mode=0)
    with pytest.raises(MissingError, match="shut: cannot be read"):
        side(str(shut), [])


def test_a_policy_that_cannot_be_looked_for_leaves_the_folder_a_folder(
    clone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = overlay(clone / "shop", "Mine")
    exists = Path.exists

    def refused(path: Path) -> bool:
        if path == Path("shop/policy.yaml"):
            raise PermissionError(13, "Permission denied", str(path))
        return exists(path)

    monkeypatch.setattr(Path, "exists", refused)
    assert shop.is_dir()
    assert titles(side("shop", [])) == ["Mine"]
