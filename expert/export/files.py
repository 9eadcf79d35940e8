"""Files that are either written whole or not at all."""

from __future__ import annotations

import secrets
from contextlib import suppress
from pathlib import Path

from expert.errors import MissingError
from expert.text import clean


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that nobody ever sees half of it; its folder is made if need be.

    Raises MissingError when it cannot be written; what was there before then stays.
    """
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("xb") as file:
            file.write(data)
        part.replace(path)
    except OSError as error:
        raise _unwritable(path, error) from None
    finally:
        with suppress(OSError):
            part.unlink()


def _unwritable(path: Path, error: OSError) -> MissingError:
    reason = clean(error.strerror or str(error))
    return MissingError(f"{clean(str(path))}: cannot be written ({reason}). Name another place.")
