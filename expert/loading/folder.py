"""Knowledge folders to one ``Knowledge``, with every mistake of every file in one pass.

``python -m expert.loading.folder [DIR...]`` prints them, or says how much there is.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from expert.errors import EXIT_DONE, GatepostError, KnowledgeError, MissingError, Mistake, Place
from expert.loading.document import Document
from expert.loading.entries import Entries, Source
from expert.loading.kinds import (
    CASE,
    HEARD_FOLDER,
    HOMES,
    KINDS,
    LETTERS_FOLDER,
    POLICY,
    SCHEMA_FOLDER,
    Kind,
)
from expert.loading.link import link
from expert.loading.nearest import nearest
from expert.loading.places import Places
from expert.loading.reading import listed, quoted
from expert.loading.source import read_bytes, shown_path, to_text
from expert.model import Knowledge, KnownCase
from expert.text import clean

_DIGEST_LENGTH: Final = 16
_SUFFIX: Final = ".yaml"
_CASES: Final = ".cases.yaml"


class File(NamedTuple):
    """One file of a knowledge folder: its kind, its name inside the folder, its path, as shown."""

    kind: Kind
    name: str
    path: Path
    shown: str


def shipped_folder() -> Path:
    """The knowledge that comes with the program: in the wheel, or beside the package."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "knowledge"
    return inside if inside.is_dir() else package.parent / "knowledge"


class Loaded(NamedTuple):
    """All that stands in some folders: knowledge, known cases by id, places, and the files."""

    knowledge: Knowledge
    cases: Mapping[str, KnownCase]
    places: Places
    documents: Sequence[tuple[Kind, Document]]


def load(folders: Sequence[Path]) -> Knowledge:
    """The knowledge in ``folders``, of which later ones add to and override earlier ones by id.

    Case files are passed over. Raises KnowledgeError with every mistake of every file, MissingError
    when a folder does not exist or none of them has a policy.
    """
    return load_with_places(folders)[0]


def load_with_places(folders: Sequence[Path]) -> tuple[Knowledge, Places]:
    """The same, and where everything is written."""
    loaded = _load(folders, with_cases=False)
    return loaded.knowledge, loaded.places


def load_with_cases(folders: Sequence[Path]) -> Loaded:
    """The same with the known cases of all case files; their mistakes are raised as well."""
    return _load(folders, with_cases=True)


def _load(folders: Sequence[Path], with_cases: bool) -> Loaded:
    entries = Entries()
    digest = hashlib.sha256()
    for folder in folders:
        entries.begin_folder()
        for file in _files(folder, entries.mistakes):
            # A digest stands for what decides an answer, and the cases decide none.
            if file.kind is not CASE:
                _read(file, entries, digest.update)
            elif with_cases:
                _read(file, entries, lambda _: None)
    policy = entries.by_kind[POLICY].get(POLICY)
    if policy is None and POLICY not in entries.lost:
        where = ", ".join(shown_path(folder) for folder in folders) or "no folder"
        raise MissingError(f"{where}: there is no policy.yaml, so this is no knowledge folder")
    places = Places(entries.by_kind)
    mistakes = [*entries.mistakes, *link(entries, places)]
    if mistakes or policy is None:
        raise KnowledgeError(list(dict.fromkeys(mistakes)))
    values = {
        kind.field: entries.values(kind.name) for kind in KINDS.values() if kind.name != POLICY
    }
    sum_of_all = digest.hexdigest()[:_DIGEST_LENGTH]
    knowledge = Knowledge(policy=policy.value, digest=sum_of_all, **values)
    return Loaded(knowledge, entries.values(CASE.name), places, entries.documents)


def _read(file: File, entries: Entries, digest: Callable[[bytes], object]) -> None:
    try:
        data = read_bytes(file.path, file.shown)
        digest(f"{file.name}\0{len(data)}\0".encode("utf-8", "surrogateescape"))
        digest(data)
        text = to_text(data, file.shown)
    except KnowledgeError as problem:
        entries.lose(file.kind, problem.mistakes)
        return
    stem = file.name.rpartition("/")[2].removesuffix(_SUFFIX)
    entries.add(Source(file.kind, stem, file.shown), text)


def _files(folder: Path, mistakes: list[Mistake]) -> list[File]:
    """The files of a folder in a fixed order; what does not belong there becomes a mistake."""
    files = []
    shown = shown_path(folder)
    for name, is_folder in _names(folder):
        kind = HOMES.get(name)
        where = _join(shown, name)
        if name.endswith(_CASES) and not is_folder:
            files.append(File(CASE, name, folder / name, where))
        elif kind is None:
            if not (is_folder and name in {SCHEMA_FOLDER, HEARD_FOLDER, LETTERS_FOLDER}):
                mistakes.extend(_stray(where, name, is_folder))
        elif not kind.in_folder:
            files.append(File(kind, name, folder / name, where))
        elif is_folder:
            files.extend(_files_of(kind, folder / name, where, mistakes))
        else:
            mistakes.append(_misplaced(where, f"found a file; expected the folder {name}/"))
    return files


def _files_of(kind: Kind, folder: Path, shown: str, mistakes: list[Mistake]) -> Iterator[File]:
    for name, is_folder in _names(folder):
        where = _join(shown, name)
        if name.endswith(_CASES) and not is_folder:
            yield File(CASE, f"{kind.home}/{name}", folder / name, where)
        elif name.endswith(_SUFFIX):
            yield File(kind, f"{kind.home}/{name}", folder / name, where)
        elif is_folder:
            mistakes.append(_misplaced(where, f"found a folder in {kind.home}/; expected files"))
        else:
            mistakes.extend(_stray(where, name, False))


def files_in(folder: Path, name: str, mistakes: list[Mistake]) -> Iterator[tuple[Path, str]]:
    """The YAML files in the folder ``name`` of a folder, if it has one: path, and as shown.

    What does not belong there becomes a mistake. Raises MissingError when it cannot be read.
    """
    if (name, True) not in _names(folder):
        return
    shown = _join(shown_path(folder), name)
    for file, is_folder in _names(folder / name):
        where = _join(shown, file)
        if is_folder:
            mistakes.append(_misplaced(where, f"found a folder in {name}/; expected files"))
        elif file.endswith(_SUFFIX):
            yield folder / name / file, where
        else:
            mistakes.extend(_stray(where, file, False))


def _names(folder: Path) -> Iterator[tuple[str, bool]]:
    """The sorted names in a folder, and whether each is a folder.

    Without hidden files and editors' backups.
    """
    try:
        with os.scandir(folder) as found:
            names = sorted((item.name, _is_folder(item)) for item in found)
    except FileNotFoundError:
        raise MissingError(f"{shown_path(folder)}: there is no such folder") from None
    except NotADirectoryError:
        raise MissingError(f"{shown_path(folder)}: this is a file; expected a folder") from None
    except (OSError, ValueError) as error:
        reason = clean(getattr(error, "strerror", None) or str(error))
        raise MissingError(f"{shown_path(folder)}: cannot be read ({reason})") from None
    for name, is_folder in names:
        if not name.startswith(".") and not name.endswith("~"):
            yield name, is_folder


def _is_folder(item: os.DirEntry[str]) -> bool:
    """Is it a folder? A link that leads in a circle is none, and is refused when it is read."""
    try:
        return item.is_dir()
    except OSError:
        return False


def _stray(where: str, name: str, is_folder: bool) -> Iterator[Mistake]:
    """The mistake of a folder or YAML file outside the layout; other files are let be."""
    if name.endswith(".yml"):
        yield _misplaced(where, f"found the suffix .yml; expected {_SUFFIX}, so rename the file")
    elif is_folder or name.endswith(_SUFFIX):
        homes = {home.removesuffix(_SUFFIX): home for home in HOMES}
        close = nearest(name.removesuffix(_SUFFIX), homes)
        what = f"the {'folder' if is_folder else 'file'} {quoted(name)} is not known here"
        if close:
            slash = "/" if HOMES[homes[close]].in_folder else ""
            yield _misplaced(where, f"{what}; did you mean '{homes[close]}{slash}'?")
        else:
            yield _misplaced(where, f"{what}; expected one of {listed(HOMES)}")


def _misplaced(where: str, message: str) -> Mistake:
    return Mistake(Place(where, 1, 1), message)


def _join(folder: str, name: str) -> str:
    return clean(name if folder == "." else f"{folder}/{name}")


def main(arguments: Sequence[str]) -> int:
    """Load the named folders, or the shipped one; print what is wrong or how much there is."""
    folders = [Path(argument) for argument in arguments] or [shipped_folder()]
    try:
        knowledge = load(folders)
    except GatepostError as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_code
    counts = [
        f"{count} {kind.name if count == 1 else kind.field}"
        for kind in KINDS.values()
        if kind.name != POLICY
        for count in [len(getattr(knowledge, kind.field))]
    ]
    sys.stdout.write(f"{', '.join(counts)}: fine (digest {knowledge.digest})\n")
    return EXIT_DONE


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
