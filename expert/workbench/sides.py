"""The two sides of a comparison: a folder, a revision, or what is loaded, as knowledge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from expert.errors import KnowledgeError, MissingError, Mistake, Place, UsageError
from expert.loading.folder import Loaded, load_with_cases, shipped_folder
from expert.loading.source import shown_path
from expert.text import clean
from expert.workbench.revision import Blob, Repository, RevisionError, check_form

_POLICY: Final = "policy.yaml"


@dataclass(frozen=True)
class Side:
    """One side: how it was named, what is in it, and how its temporary folders are to be shown."""

    name: str
    loaded: Loaded
    shown: Mapping[str, str]

    def place(self, kind: str, name: str, *path: str | int) -> Place:
        """Where an entry, or something in it, is written."""
        found = self.loaded.places.of(kind, name, *path)
        return replace(found, file=_named(found.file, self.shown))


@dataclass(frozen=True)
class _Folders:
    """Folders to load, and the names to show for those that are temporary."""

    folders: Sequence[Path]
    shown: Mapping[str, str]


def sides(old: str, new: str | None, own: Sequence[Path]) -> tuple[Side, Side]:
    """Both sides of a comparison; without a new one it is what is loaded with ``own``.

    Raises UsageError where the folders of --knowledge would be passed over in silence.
    """
    if own and new is not None and not (needs_own(old) or needs_own(new)):
        raise UsageError(
            "With two folders --knowledge is not used: a folder without a policy is laid over the "
            "shipped one as it is. Leave --knowledge out, or leave NEW out."
        )
    # The folders at hand first: a mistake in them is nearer than one in a revision.
    after = working(own) if new is None else side(new, own)
    return side(old, own), after


def working(own: Sequence[Path]) -> Side:
    """The shipped folder and those of --knowledge."""
    folders = [shipped_folder(), *own]
    return Side("the folders as loaded", load_with_cases(folders), {})


def side(text: str, own: Sequence[Path]) -> Side:
    """The knowledge that a name on the command line means.

    An existing folder goes before a revision. A folder without a policy is laid over the shipped
    one. Raises UsageError, MissingError or KnowledgeError, with places as the user knows them.
    """
    path = Path(text)
    try:
        if text and path.is_dir():
            whole = _has_policy(path)
            folders = [path] if whole else [shipped_folder(), path]
            return Side(clean(text), load_with_cases(folders), {})
        if text and path.is_file():
            raise UsageError(f"{clean(text, 60)} is a file; expected a folder or a revision.")
    except (OSError, ValueError):
        check_form(text)
    with ExitStack() as stack:
        # Resolved, as messages show paths.
        scratch = Path(stack.enter_context(TemporaryDirectory(prefix="gatepost-"))).resolve()
        found = _of_revision(text, own, scratch)
        try:
            return Side(clean(text), load_with_cases(found.folders), found.shown)
        except KnowledgeError as problem:
            raise KnowledgeError(
                [_renamed(mistake, found.shown) for mistake in problem.mistakes]
            ) from None
        except MissingError as problem:
            message = str(problem)
            for prefix, name in found.shown.items():
                message = message.replace(prefix, name)
            raise MissingError(message) from None


def _has_policy(folder: Path) -> bool:
    try:
        return (folder / _POLICY).exists()
    except OSError:
        # A folder that may not be entered; loading it says so.
        return False


def needs_own(text: str) -> bool:
    """Does this name mean the folders of --knowledge too: a revision without a path?"""
    return ":" not in text and not Path(text).is_dir()


def _of_revision(text: str, own: Sequence[Path], scratch: Path) -> _Folders:
    revision, colon, path = text.partition(":")
    check_form(revision)
    try:
        repository = Repository()
    except RevisionError as problem:
        raise RevisionError(f"There is no folder {clean(text, 60)!r}. {problem}") from None
    commit = repository.commit(revision)
    if colon:
        check_form(f"x{path}")
        blobs = repository.blobs(commit, path.rstrip("/") or ".")
        if not blobs or not any(blob.name.suffix == ".yaml" for blob in blobs):
            raise RevisionError(
                f"There is no knowledge folder {clean(path, 60)!r} in {clean(revision, 60)}; see: "
                "git ls-tree -r --name-only REVISION"
            )
        one = _written(repository, blobs, scratch / "0", clean(text))
        return one if _is_whole(blobs) else _Folders([shipped_folder(), *one.folders], one.shown)
    return _as_loaded(repository, revision, commit, own, scratch)


def _as_loaded(
    repository: Repository, revision: str, commit: str, own: Sequence[Path], scratch: Path
) -> _Folders:
    """The folders that are loaded, each as it was then; one outside of the repository stays.

    Where the shipped folder lies elsewhere, the folder ``knowledge`` in the current one stands for
    it, if the revision holds one.
    """
    folders: list[Path] = []
    shown: dict[str, str] = {}
    for number, folder in enumerate([shipped_folder(), *own]):
        inside = repository.inside(folder)
        if inside is None and number == 0:
            inside = repository.inside(Path("knowledge"))
        blobs = None if inside is None else repository.blobs(commit, inside)
        if not blobs or (number == 0 and not _is_whole(blobs)):
            # One's own folder that was not there yet adds nothing; others are as they are.
            if number == 0 or repository.inside(folder) is None:
                folders.append(folder)
            continue
        name = f"{clean(revision)}:{inside}"
        one = _written(repository, blobs, scratch / str(number), name)
        folders += one.folders
        shown.update(one.shown)
    if not shown:
        raise RevisionError(
            f"There is no knowledge folder in {clean(revision, 60)}: none of the folders that are "
            "loaded lies in it. Name the folder: REVISION:PATH"
        )
    return _Folders(folders, shown)


def _is_whole(blobs: Sequence[Blob]) -> bool:
    return any(str(blob.name) == _POLICY for blob in blobs)


def _written(repository: Repository, blobs: list[Blob], folder: Path, name: str) -> _Folders:
    repository.write(blobs, folder)
    return _Folders([folder], {shown_path(folder): name})


def _renamed(mistake: Mistake, shown: Mapping[str, str]) -> Mistake:
    place = replace(mistake.place, file=_named(mistake.place.file, shown))
    message = mistake.message
    for prefix, name in shown.items():
        message = message.replace(prefix, name)
    return Mistake(place, message)


def _named(file: str, shown: Mapping[str, str]) -> str:
    for prefix, name in shown.items():
        if file.startswith(f"{prefix}/"):
            return name + file[len(prefix) :]
    return file
