"""Folders as they stand in a revision of the git repository that holds the current folder.

Git is asked for the contents of its objects and for nothing else: no hook, filter, pager or other
program that a repository's configuration names is run, and nothing is fetched.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path, PurePosixPath
from typing import Final, NamedTuple

from expert.errors import MissingError, UsageError
from expert.loading.source import MOST_BYTES
from expert.text import clean

_LONGEST: Final = 200
_COMMON: Final = (
    *("--no-replace-objects", "--no-optional-locks", "--no-pager", "--literal-pathspecs"),
    *("-c", "core.fsmonitor=false", "-c", "core.hooksPath=", "-c", "protocol.allow=never"),
)
# What else of the surroundings a call of git may see; GIT_DIR would lead to another repository.
_KEPT: Final = ("GIT_CONFIG", "GIT_CEILING_DIRECTORIES")
_TEXTS: Final = (".yaml", ".yml")
# A tree in git may hold names that no folder should get.
_ODD: Final = re.compile(r"[\x00-\x1f\x7f\\:]|^\.{0,2}$")


class RevisionError(MissingError):
    """A revision, or a folder in it, that cannot be had."""


class Blob(NamedTuple):
    """One file of a revision: its name in the folder, its object and its size in bytes."""

    name: PurePosixPath
    object: str
    size: int


def check_form(revision: str) -> None:
    """Raise UsageError for a text that can be no revision, or that git might take for an option."""
    shown = clean(revision, 60)
    if not revision or len(revision) > _LONGEST or not revision.isprintable() or " " in revision:
        raise UsageError(f"{shown!r} is neither a folder nor a revision of a git repository.")
    if revision.startswith("-"):
        raise UsageError(f"A revision cannot begin with a hyphen: {shown!r}.")


class Repository:
    """The git repository that holds the current folder."""

    def __init__(self) -> None:
        """Raises RevisionError without git, or outside of a repository."""
        self.top = Path(os.fsdecode(self._run("rev-parse", "--show-toplevel").rstrip(b"\n")))

    def commit(self, revision: str) -> str:
        """The hash of the commit that a revision means. Raises UsageError or RevisionError."""
        check_form(revision)
        found = self._tried("rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}")
        if found is None:
            raise RevisionError(
                f"There is no folder and no revision {clean(revision, 60)!r} here; for revisions: "
                "git log --oneline"
            )
        return found.decode("ascii", "replace").strip()

    def inside(self, folder: Path) -> str | None:
        """The path of a folder within the repository, or None for one outside of it."""
        whole, top = folder.resolve(), self.top.resolve()
        return whole.relative_to(top).as_posix() if whole.is_relative_to(top) else None

    def blobs(self, commit: str, path: str) -> list[Blob] | None:
        """All files below a folder of a commit; None where there is no such folder.

        ``path`` is relative to the top, or to the current folder where it begins with ``./``.
        """
        place = f"{commit}:{'' if path == '.' else path}"
        tree = self._tried("rev-parse", "--verify", "--quiet", place)
        if tree is None:
            return None
        listed = self._tried("ls-tree", "-r", "-l", "-z", "--full-tree", tree.decode().strip())
        if listed is None:
            return None
        return [blob for line in listed.split(b"\0") if line for blob in _blob(line)]

    def write(self, blobs: list[Blob], folder: Path) -> None:
        """Write the YAML files among ``blobs``; of all others only the folders are made.

        What is too large to be read is not written out, only as long.
        """
        wanted = [blob for blob in blobs if blob.name.suffix in _TEXTS]
        folder.mkdir(parents=True, exist_ok=True)
        for blob in blobs:
            (folder / blob.name).parent.mkdir(parents=True, exist_ok=True)
        small = [blob for blob in wanted if blob.size <= MOST_BYTES]
        for blob, data in zip(small, self._contents(small), strict=True):
            (folder / blob.name).write_bytes(data)
        for blob in wanted:
            if blob.size > MOST_BYTES:
                with (folder / blob.name).open("wb") as stream:
                    stream.truncate(blob.size)

    def _contents(self, blobs: list[Blob]) -> list[bytes]:
        """The bytes of each file, as they were committed."""
        if not blobs:
            return []
        asked = "".join(f"{blob.object}\n" for blob in blobs).encode("ascii")
        told = self._run("cat-file", "--batch", given=asked)
        found, start = [], 0
        for blob in blobs:
            start = told.index(b"\n", start) + 1
            found.append(told[start : start + blob.size])
            start += blob.size + 1
        return found

    def _tried(self, *arguments: str) -> bytes | None:
        """What git prints, or None where it fails."""
        done = _git(arguments)
        return done.stdout if done.returncode == 0 else None

    def _run(self, *arguments: str, given: bytes = b"") -> bytes:
        done = _git(arguments, given)
        if done.returncode == 0:
            return done.stdout
        reason = clean(done.stderr.decode("utf-8", "replace"), 200)
        if "not a git repository" in reason:
            reason = "the current folder is in no git repository; name a folder instead"
        raise RevisionError(f"Git cannot help: {reason}.")


def _git(arguments: tuple[str, ...], given: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    environ = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("GIT_") or name.startswith(_KEPT)
    }
    environ.update(GIT_NO_LAZY_FETCH="1", GIT_TERMINAL_PROMPT="0", LC_ALL="C")
    try:
        return subprocess.run(
            ["git", *_COMMON, *arguments],
            input=given,
            capture_output=True,
            env=environ,
            check=False,
        )
    except FileNotFoundError:
        raise RevisionError(
            "Git is needed to read a revision, and is not installed; name a folder instead."
        ) from None
    except (OSError, ValueError) as error:
        raise RevisionError(f"Git cannot be run ({clean(str(error), 100)}).") from None


def _blob(line: bytes) -> list[Blob]:
    """One line of ls-tree: an ordinary file with a harmless name, or nothing."""
    about, _, raw = line.partition(b"\t")
    mode, _, name, size = about.decode("ascii", "replace").split()
    path = PurePosixPath(os.fsdecode(raw))
    odd = any(_ODD.search(part) for part in path.parts) or path.is_absolute()
    if odd or not mode.startswith("100"):
        return []
    return [Blob(path, name, int(size))]
