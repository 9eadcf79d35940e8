"""The files of knowledge folders as they stand on the disk, and how they are mended."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from expert.errors import MissingError
from expert.loading.document import Document
from expert.loading.kinds import CASE, SCHEMA_FOLDER, Kind
from expert.loading.schema import modeline
from expert.loading.source import shown_path
from expert.rules.rule import Edit, Fix, Text
from expert.text import clean


class OnDisk(NamedTuple):
    """A file of a knowledge folder: where it is, and the folder that it belongs to."""

    path: Path
    folder: Path


Files = Mapping[str, OnDisk]


def files_of(folders: Sequence[Path]) -> Files:
    """The YAML files of the folders by their names in messages."""
    found: dict[str, OnDisk] = {}
    for folder in folders:
        shown = shown_path(folder)
        for path in (*folder.glob("*.yaml"), *folder.glob("*/*.yaml")):
            name = path.relative_to(folder).as_posix()
            found[clean(name if shown == "." else f"{shown}/{name}")] = OnDisk(path, folder)
    return found


def texts_of(documents: Iterable[tuple[Kind, Document]], files: Files) -> Iterator[Text]:
    """The files that were read, with everything in them that the loader passes over."""
    for kind, document in documents:
        on_disk = files.get(document.file)
        if on_disk is None:
            yield Text(kind.name, document.file, document.text)
            continue
        text = _text(on_disk.path)
        # One copy of most texts is kept, not two.
        same = document.text if text == document.text else text
        yield Text(kind.name, document.file, same, _schema_line(kind, on_disk))


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise _changed(path) from error


def _schema_line(kind: Kind, on_disk: OnDisk) -> str | None:
    """The first line that the file should have; None where its folder has no such schema."""
    if not (on_disk.folder / SCHEMA_FOLDER / f"{kind.schema}.json").is_file():
        return None
    if kind is CASE and on_disk.path.parent == on_disk.folder:
        return f"# yaml-language-server: $schema={SCHEMA_FOLDER}/{kind.schema}.json"
    return modeline(kind)


def mended(fixes: Iterable[Fix], files: Files) -> dict[Path, tuple[bytes, bytes]]:
    """Path -> the bytes of the file before and after all edits of it.

    Of edits that overlap the first is made; the others come in the next round.
    """
    by_file: dict[str, list[Edit]] = {}
    for fix in fixes:
        by_file.setdefault(fix.file, []).extend(fix.edits)
    changes = {}
    for file, edits in by_file.items():
        path = files[file].path
        text = _text(path)
        changes[path] = (text.encode("utf-8"), edited(text, edits).encode("utf-8"))
    return changes


def edited(text: str, edits: Iterable[Edit]) -> str:
    """The text with the edits made."""
    parts = []
    position = 0
    for edit in sorted(edits):
        if edit.start >= position:
            parts += [text[position : edit.start], edit.new]
            position = edit.end
    return "".join([*parts, text[position:]])


def write_all(changes: Mapping[Path, tuple[bytes, bytes]]) -> None:
    """Write all of the files, or none when one cannot be written; modes stay.

    A file that has changed meanwhile is not overwritten. Raises MissingError.
    """
    ready: list[tuple[Path, Path]] = []
    try:
        for path, (before, after) in changes.items():
            target = path.resolve()
            part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
            ready.append((part, target))
            with part.open("xb") as stream:
                stream.write(after)
            part.chmod(stat.S_IMODE(target.stat().st_mode))
            if not os.access(target, os.W_OK):
                raise _unwritable(path, "it is read-only")
            if target.read_bytes() != before:
                raise _changed(path)
        for part, target in ready:
            part.replace(target)
    except OSError as error:
        raise _unwritable(path, error.strerror or str(error)) from None
    finally:
        for part, _ in ready:
            with suppress(OSError):
                part.unlink()


def _unwritable(path: Path, reason: str) -> MissingError:
    return MissingError(
        f"{shown_path(path)}: cannot be written ({clean(reason)}). Nothing was changed; run it"
        " without --fix, or make the folder writable."
    )


def _changed(path: Path) -> MissingError:
    return MissingError(
        f"{shown_path(path)}: the file has changed meanwhile. Nothing was changed here; run it"
        " again."
    )
