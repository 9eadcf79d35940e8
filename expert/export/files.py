"""Files that are either written whole or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path
from typing import Final

from expert.errors import MissingError
from expert.text import clean

# How the names of files end that are not in their place yet; such a file is never loaded.
PART: Final = ".part"


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that nobody ever sees half of it; its folder is made if need be.

    Raises MissingError when it cannot be written; what was there before then stays. What is no
    file, such as a pipe, is simply written to.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and not path.is_file() and not path.is_dir():
            path.write_bytes(data)
            return
        part = staged(path, data, forced=False)
        try:
            part.replace(real(path))
        finally:
            with suppress(OSError):
                part.unlink()
    except OSError as error:
        raise _unwritable(path, error) from None


def staged(path: Path, data: bytes, *, forced: bool = True) -> Path:
    """The new content of a file, beside its place; ``replace`` puts it there.

    ``forced`` waits until it is on the disk. Raises OSError, and then leaves nothing behind.
    """
    place = real(path)
    part = place.with_name(f".{place.name}.{secrets.token_hex(4)}{PART}")
    try:
        with part.open("xb") as file:
            file.write(data)
            if forced:
                file.flush()
                os.fsync(file.fileno())
        if place.exists():
            shutil.copymode(place, part)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    return part


def real(path: Path) -> Path:
    """The file itself, so that a link to it stays a link."""
    return path.resolve() if path.is_symlink() else path


def _unwritable(path: Path, error: OSError) -> MissingError:
    reason = clean(error.strerror or str(error))
    return MissingError(f"{clean(str(path))}: cannot be written ({reason}). Name another place.")
