"""The folder that is written into, and all folders that are read with it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from expert.errors import MissingError, UsageError
from expert.loading.folder import Loaded, load_with_cases, shipped_folder
from expert.loading.kinds import KINDS
from expert.loading.source import shown_path
from expert.workbench.add.setting import EntryKind, Setting


@dataclass(frozen=True, slots=True)
class Target:
    """A folder to write into, and the folders that make the knowledge, in order.

    All are absolute. The target is among ``folders``, even when it does not exist yet.
    """

    folder: Path
    folders: tuple[Path, ...]

    def there(self) -> list[Path]:
        """The folders that exist."""
        return [one for one in self.folders if one != self.folder or one.exists()]

    def is_before(self, path: Path) -> bool:
        """Is the file in a folder that overrides the target?"""
        place = self.folders.index(self.folder)
        return any(path.is_relative_to(one) for one in self.folders[place + 1 :])


def choose(into: Path | None, overlays: Sequence[Path]) -> Target:
    """Where to write: the named folder, else the last overlay, else the clone's own knowledge.

    Raises UsageError or MissingError for a folder that nothing can be written into.
    """
    shipped = shipped_folder().resolve()
    more = [one.resolve() for one in overlays]
    chosen = into.resolve() if into is not None else (more[-1] if more else shipped)
    installed = shipped.parent == Path(__file__).resolve().parents[2]
    if chosen == shipped and installed:
        raise UsageError(
            "Name a folder of your own with --into DIR; what is written into the installed program "
            "is lost with its next version."
        )
    folders = [shipped, *more]
    if into is None and not chosen.exists():
        raise MissingError(f"{shown_path(chosen)}: there is no such folder")
    _check(chosen)
    return Target(chosen, tuple(folders if chosen in folders else [*folders, chosen]))


def read(target: Target) -> Loaded:
    """All folders, with their cases. Raises KnowledgeError with every mistake in them."""
    return load_with_cases(target.there())


def setting_of(loaded: Loaded, target: Target) -> Setting:
    """What the questions draw on."""
    files: dict[EntryKind, dict[str, tuple[str, ...]]] = {
        "cause": _files(loaded, target, "cause"),
        "check": _files(loaded, target, "check"),
    }
    return Setting(loaded.knowledge, loaded.cases, files)


def paths_by_shown(target: Target) -> dict[str, Path]:
    """The path of every file of causes, checks and symptoms, by its name in messages."""
    found = {}
    for folder in target.there():
        for kind in ("cause", "check", "symptom"):
            for path in sorted((folder / KINDS[kind].home).glob("*.yaml")):
                found[shown_path(path)] = path
    return found


def _files(loaded: Loaded, target: Target, kind: EntryKind) -> dict[str, tuple[str, ...]]:
    """The files of a kind in the target, by their names without suffix, with their ids."""
    files: dict[str, tuple[str, ...]] = {}
    entries = loaded.knowledge.causes if kind == "cause" else loaded.knowledge.checks
    homes = {name: loaded.places.file(kind, name) for name in entries}
    for path in sorted((target.folder / KINDS[kind].home).glob("*.yaml")):
        if not path.name.endswith(".cases.yaml") and not path.name.startswith("."):
            here = shown_path(path)
            files[path.stem] = tuple(name for name, file in homes.items() if file == here)
    return files


def _check(folder: Path) -> None:
    shown = shown_path(folder)
    if folder.exists() and not folder.is_dir():
        raise MissingError(f"{shown}: this is a file; expected a folder")
    if not folder.exists() and not folder.parent.is_dir():
        raise MissingError(f"{shown}: its parent folder does not exist; make it first")
    where = folder if folder.exists() else folder.parent
    if not os.access(where, os.W_OK | os.X_OK):
        raise MissingError(
            f"{shown}: nothing can be written there (read-only). "
            "Name another folder with --into DIR."
        )
