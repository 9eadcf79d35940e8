"""Folders of a git revision: ``expert/workbench/revision.py``."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.errors import GatepostError, UsageError
from expert.loading.source import MOST_BYTES
from expert.workbench.revision import Repository, RevisionError, check_form
from tests.workbench.repository import commit, git


@pytest.fixture
def clone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository of two commits, the current folder."""
    (tmp_path / "clone" / "mine" / "causes").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "clone")
    Path("mine/policy.yaml").write_bytes(b"one\r\n")
    Path("mine/causes/a.yaml").write_text("a: b\n", encoding="utf-8")
    Path("mine/notes.txt").write_text("private\n", encoding="utf-8")
    commit(Path())
    git(Path(), "tag", "v1")
    Path("mine/policy.yaml").write_text("two\n", encoding="utf-8")
    commit(Path())
    return Path.cwd()


def written(revision: str, path: str, into: Path) -> dict[str, bytes]:
    repository = Repository()
    blobs = repository.blobs(repository.commit(revision), path)
    assert blobs is not None
    repository.write(blobs, into)
    return {
        str(file.relative_to(into)): file.read_bytes()
        for file in sorted(into.rglob("*"))
        if file.is_file()
    }


def test_files_are_as_they_were_committed(clone: Path, tmp_path: Path) -> None:
    before = {"causes/a.yaml": b"a: b\n", "policy.yaml": b"one\r\n"}
    assert written("v1", "mine", tmp_path / "x") == before
    assert written("main~1", "mine", tmp_path / "y") == before
    assert written("HEAD", "mine", tmp_path / "z")["policy.yaml"] == b"two\n"


def test_the_current_folder_may_be_below_the_top(
    clone: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir("mine")
    assert Repository().top.resolve() == clone.resolve()
    assert Repository().inside(Path()) == "mine"
    assert Repository().inside(tmp_path) is None
    assert list(written("HEAD", "./causes", tmp_path / "x")) == ["a.yaml"]
    assert Repository().blobs("HEAD", "mine/nothing") is None
    assert Repository().blobs("HEAD", "mine/policy.yaml") is None


@pytest.mark.parametrize("revision", ["nothing", "HEAD~9", "HEAD^{tree}", "v1^{blob}", "deadbeef"])
def test_a_revision_that_is_not_there(clone: Path, revision: str) -> None:
    with pytest.raises(RevisionError, match="There is no folder and no revision"):
        Repository().commit(revision)


@pytest.mark.parametrize("revision", ["-x", "--output=x", "", "a b", "a\nb", "a\0", "x" * 201])
def test_what_can_be_no_revision(revision: str) -> None:
    with pytest.raises(UsageError):
        check_form(revision)


@given(st.text(max_size=30))
def test_any_text_is_a_commit_or_one_message(text: str) -> None:
    """In the repository that holds these tests, or outside of one."""
    try:
        assert len(Repository().commit(text)) in (40, 64)
    except GatepostError as problem:
        assert str(problem).isprintable()


def test_outside_of_a_repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    with pytest.raises(RevisionError, match="the current folder is in no git repository"):
        Repository()


def test_without_git(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(clone))
    with pytest.raises(RevisionError, match=r"Git is needed .* not installed"):
        Repository()


def test_another_repository_in_the_environment_is_not_taken(
    clone: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("GIT_WORK_TREE", str(tmp_path))
    assert Repository().top.resolve() == clone.resolve()


@pytest.mark.skipif(os.name == "nt", reason="the programs are shell scripts")
def test_no_program_of_the_repository_is_run(clone: Path, tmp_path: Path) -> None:
    """Hooks, filters, text converters, pagers and monitors that the repository names."""
    trap, mark = tmp_path / "trap.sh", tmp_path / "sprung"
    trap.write_text(f"#!/bin/sh\ntouch '{mark}'\ncat\n", encoding="utf-8")
    trap.chmod(0o755)
    (clone / ".gitattributes").write_text("*.yaml filter=trap diff=trap\n", encoding="utf-8")
    commit(clone)
    hooks = clone / ".git" / "hooks"
    hooks.mkdir(exist_ok=True)
    for name in ("post-checkout", "post-index-change", "reference-transaction", "pre-commit"):
        (hooks / name).write_text(trap.read_text(encoding="utf-8"), encoding="utf-8")
        (hooks / name).chmod(0o755)
    for key in (
        *("filter.trap.smudge", "filter.trap.clean", "filter.trap.process", "diff.trap.textconv"),
        *("core.pager", "core.fsmonitor", "core.sshCommand", "core.editor", "diff.external"),
        *("tar.tar.command", "alias.ls-tree", "alias.cat-file"),
    ):
        git(clone, "config", key, f"!{trap}" if key.startswith("alias") else str(trap))
    assert written("HEAD", "mine", tmp_path / "x")["policy.yaml"] == b"two\n"
    assert not mark.exists()
    # The trap works: what checks files out does run the filter.
    git(clone, "archive", "HEAD")
    assert mark.exists()


def test_odd_names_and_links_are_left_out(clone: Path, tmp_path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("such names cannot be committed there")
    (clone / "mine" / "back\\slash.yaml").write_text("x", encoding="utf-8")
    (clone / "mine" / "co:lon.yaml").write_text("x", encoding="utf-8")
    (clone / "mine" / "link.yaml").symlink_to("/etc/hostname")
    commit(clone)
    assert list(written("HEAD", "mine", tmp_path / "x")) == ["causes/a.yaml", "policy.yaml"]


def test_a_file_that_is_too_large_is_only_as_long(clone: Path, tmp_path: Path) -> None:
    (clone / "mine" / "large.yaml").write_bytes(b"#" * (MOST_BYTES + 5))
    commit(clone)
    large = written("HEAD", "mine", tmp_path / "x")["large.yaml"]
    assert large == bytes(MOST_BYTES + 5)
