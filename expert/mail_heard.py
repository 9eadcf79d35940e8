"""What customers were heard to say, learned once and kept for the next start.

Learning from all sentences and letters takes seconds. What was learned is kept in the user's folder
for such things (``XDG_CACHE_HOME``, or ``.cache`` in the home folder), under a digest of the files
it was learned from. It holds words of the knowledge and nothing of any mail, and may be deleted at
any time.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from expert.errors import GatepostError
from expert.loading.folder import files_in
from expert.loading.heard import labels_of, load_heard
from expert.loading.kinds import HEARD_FOLDER, LETTERS_FOLDER
from expert.loading.letters import load_letters
from expert.model import Knowledge

if TYPE_CHECKING:
    from expert.evidence.mail.kin import Kin

_LEARNING: Final = Path(__file__).parent / "evidence" / "mail"
_NAME: Final = "heard-"
_ENDING: Final = ".npz"
# Several knowledge folders may be in use in turn.
_MOST_KEPT: Final = 4


def kin_of(
    folders: Sequence[Path],
    knowledge: Knowledge,
    environment: Mapping[str, str] = os.environ,
) -> Kin:
    """All that customers were heard to say, from what was kept or learned anew.

    What cannot be kept, or is broken, is learned again at the next start. Raises KnowledgeError
    with every mistake of the files, MissingError when a folder cannot be read.
    """
    from expert.evidence.mail.kin import Kin
    from expert.evidence.mail.packed import packed, unpacked

    place = _folder(environment)
    path = place / f"{_NAME}{_digest(folders, knowledge)}{_ENDING}" if place else None
    if path is not None:
        with suppress(OSError, ValueError):
            return unpacked(path.read_bytes())
    kin = Kin.of(load_heard(folders, knowledge), load_letters(folders, knowledge))
    if path is not None:
        _keep(path, packed(kin))
    return kin


def _folder(environment: Mapping[str, str]) -> Path | None:
    """Where things may be kept that can be made again; None where there is no such place."""
    named = Path(environment.get("XDG_CACHE_HOME", ""))
    if named.is_absolute():
        return named / "gatepost"
    try:
        return Path.home() / ".cache" / "gatepost"
    except RuntimeError:
        return None


def _digest(folders: Sequence[Path], knowledge: Knowledge) -> str:
    """Stands for all that is learned from, and for the modules that learn."""
    found = hashlib.sha256(" ".join(labels_of(knowledge)).encode())
    files = [
        path
        for folder in folders
        for name in (HEARD_FOLDER, LETTERS_FOLDER)
        for path, _ in files_in(folder, name, [])
    ]
    for path in [*sorted(_LEARNING.glob("*.py")), *files]:
        with suppress(OSError):
            data = path.read_bytes()
            found.update(f"{path.name}\0{len(data)}\0".encode("utf-8", "surrogateescape"))
            found.update(data)
    return found.hexdigest()[:32]


def _keep(path: Path, data: bytes) -> None:
    """Write what was learned, and forget what was not used for longest. Never raises."""
    from expert.export.files import write_whole

    with suppress(OSError, GatepostError):
        write_whole(path, data)
        kept = sorted(path.parent.glob(f"{_NAME}*{_ENDING}"), key=lambda one: one.stat().st_mtime)
        for old in kept[:-_MOST_KEPT]:
            old.unlink()
