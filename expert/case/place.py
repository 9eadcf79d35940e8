"""Where cases are kept when nobody names a file."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Final

from expert.errors import MissingError

SUFFIX = ".case.jsonl"

# The name that stands for the case changed last.
LAST: Final = "last"


def default_folder(
    platform: str = sys.platform, environ: Mapping[str, str] = os.environ, home: Path | None = None
) -> Path:
    """The platform's place for a user's data, with our folder in it.

    XDG Base Directory Specification on Linux and other Unix systems, ``Library/Application
    Support`` on macOS, ``%LOCALAPPDATA%`` on Windows. A relative XDG path is ignored, as the
    specification demands.
    """
    home = home or Path.home()
    if platform == "win32":
        base = Path(environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
    elif platform == "darwin":
        base = home / "Library" / "Application Support"
    else:
        named = environ.get("XDG_DATA_HOME", "")
        base = Path(named) if named.startswith("/") else home / ".local" / "share"
    return base / "gatepost" / "cases"


def new_case_path(folder: Path, now: datetime) -> Path:
    """A file name for a new case that is not taken: the date, the time, and a count if needed."""
    stem = now.strftime("%Y-%m-%d-%H%M%S")
    path = folder / f"{stem}{SUFFIX}"
    count = 2
    while path.exists():
        path = folder / f"{stem}-{count}{SUFFIX}"
        count += 1
    return path


def cases_in(folder: Path) -> list[Path]:
    """The case files of a folder, the latest change first; none when there is no folder."""
    try:
        found = [(path.stat().st_mtime, path) for path in folder.glob(f"*{SUFFIX}")]
    except OSError:
        return []
    return [path for _, path in sorted(found, reverse=True)]


def latest_case(folder: Path) -> Path:
    """The case that was changed last. Raises MissingError when there is none."""
    cases = cases_in(folder)
    if not cases:
        raise MissingError(f"{folder}: there is no case yet; begin one with: gatepost diagnose")
    return cases[0]


def case_file(name: str) -> Path:
    """The file of a case by its name; ``last`` is the one in the usual place changed last."""
    return latest_case(default_folder()) if name == LAST else Path(name)
