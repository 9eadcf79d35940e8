"""One writer at a time for a case file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import BinaryIO

from expert.errors import GatepostError

if sys.platform == "win32":
    import msvcrt

    # A byte far beyond any journal, since Windows denies others the reading of a locked range.
    _LOCKED_BYTE = 1 << 40

    def _try_lock(file: BinaryIO) -> None:
        file.seek(_LOCKED_BYTE)
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _try_lock(file: BinaryIO) -> None:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


def lock_exclusively(file: BinaryIO, path: Path) -> None:
    """Take the case for this process; it is released when the file is closed.

    Raises GatepostError when another process has it. A file system without locks (some network
    drives) is used without one.
    """
    try:
        _try_lock(file)
    except (BlockingIOError, PermissionError):
        raise GatepostError(
            f"{path}: another Gatepost has this case open. Leave it there first, "
            "or name another file with --case FILE."
        ) from None
    except OSError:
        return
