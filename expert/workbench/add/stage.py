"""Several files written all or not at all, as far as a file system allows.

Every new file is first written whole beside its place and forced to the disk. Only then are they
put in place, one after the other, each in one step. If one cannot be, those before it are put back.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from expert.errors import GatepostError, MissingError
from expert.export.files import real, staged
from expert.loading.source import shown_path
from expert.text import clean
from expert.workbench.add.plan import Change


def write_all(changes: Sequence[Change]) -> None:
    """Write all files. A file that is already as it should be is let be.

    Raises GatepostError when a file has changed since it was read, MissingError when one cannot be
    written; either way every file is then as it was.
    """
    todo = [one for one in changes if _current(one.path) != one.after]
    for one in todo:
        if _current(one.path) != one.before:
            raise GatepostError(
                f"{shown_path(one.path)}: this file was changed meanwhile, so nothing is written. "
                "Go on with the draft to make the text anew: gatepost knowledge add --resume"
            )
    made: list[Path] = []
    parts: list[Path] = []
    done: list[Change] = []
    try:
        for one in todo:
            made += _make_folders(one.path.parent)
            parts.append(staged(one.path, one.after))
        for one, part in zip(todo, parts, strict=True):
            done.append(one)
            part.replace(real(one.path))
        for folder in {one.path.parent for one in todo}:
            _sync_folder(folder)
    except BaseException as error:
        _put_back(done)
        _remove(parts)
        _remove_folders(made)
        if isinstance(error, OSError):
            reason = clean(error.strerror or str(error)).lower()
            failed = todo[len(done) - 1 if done else len(parts)].path
            raise MissingError(
                f"{shown_path(failed)}: cannot be written ({reason}). Every file is as it was, and "
                "the draft is kept; once that is mended: gatepost knowledge add --resume"
            ) from None
        raise


def take_back(changes: Sequence[Change]) -> None:
    """Put every file back that is as the changes make it; the others are let be."""
    _put_back([one for one in changes if _current(one.path) == one.after])


def _current(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        reason = clean(error.strerror or str(error)).lower()
        raise MissingError(f"{shown_path(path)}: cannot be read ({reason})") from None


def _make_folders(folder: Path) -> list[Path]:
    """Make a folder and those above it; the ones that were made, the innermost last."""
    missing = []
    while not folder.exists():
        missing.append(folder)
        folder = folder.parent
    made: list[Path] = []
    try:
        for one in reversed(missing):
            one.mkdir()
            made.append(one)
    except BaseException:
        _remove_folders(made)
        raise
    return made


def _remove_folders(made: Sequence[Path]) -> None:
    for folder in reversed(made):
        with suppress(OSError):
            folder.rmdir()


def _remove(parts: Sequence[Path]) -> None:
    for part in parts:
        with suppress(OSError):
            part.unlink()


def _put_back(done: Sequence[Change]) -> None:
    for one in reversed(done):
        with suppress(OSError):
            if one.before is None:
                one.path.unlink(missing_ok=True)
            elif one.path.read_bytes() != one.before:
                staged(one.path, one.before).replace(real(one.path))


def _sync_folder(folder: Path) -> None:
    """Force the new names in a folder to the disk, where the system can."""
    if os.name == "nt":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
