"""Pictures from DOT text, by an outside program: the system's Graphviz, or the `images` extra.

The extra installs the program of the package graphviz-pure, which brings its own fonts; it draws
SVG and PNG. The system's ``dot``, when there is one, draws PDF as well.
"""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Final

from expert.errors import MissingError
from expert.text import clean

PICTURES: Final = ("svg", "png", "pdf")
SECONDS: Final = 60.0
HINT: Final = (
    "Install the images extra (pip install 'gatepost[images]') or the system's Graphviz, "
    "or use --format gv."
)
PDF_HINT: Final = "Install the system's Graphviz, or use --format svg."

_EXTRA: Final = "graphviz-pure"
_LONGEST_COMPLAINT: Final = 300


@dataclass(frozen=True, slots=True)
class Renderer:
    """An outside program that understands the options of ``dot``, and what it can draw."""

    program: str
    formats: tuple[str, ...]


def system_dot() -> Renderer | None:
    """The Graphviz of the system, if it is on the search path."""
    found = shutil.which("dot")
    # A program that happens to lie in the current folder is not the system's.
    if found is None or not Path(found).is_absolute():
        return None
    return Renderer(found, PICTURES)


def extra_dot() -> Renderer | None:
    """The program of the `images` extra, if it is installed beside us."""
    try:
        files = metadata.files(_EXTRA) or []
    except metadata.PackageNotFoundError:
        return None
    for file in files:
        path = Path(str(file.locate()))
        if path.stem == _EXTRA and path.is_file():
            return Renderer(str(path), ("svg", "png"))
    return None


def renderers(
    finders: Sequence[Callable[[], Renderer | None]] = (system_dot, extra_dot),
) -> list[Renderer]:
    """The renderers of this machine, the preferred one first."""
    found = (finder() for finder in finders)
    return [renderer for renderer in found if renderer is not None]


def render(source: str, fmt: str, available: Sequence[Renderer], seconds: float = SECONDS) -> bytes:
    """The picture of a DOT text in one of ``PICTURES``.

    When one renderer fails, the next one is tried. Raises MissingError when none can draw it, with
    what the programs said.
    """
    able = [renderer for renderer in available if fmt in renderer.formats]
    if not able:
        hint = PDF_HINT if fmt == "pdf" else HINT
        raise MissingError(f"There is no program here that draws {fmt}. {hint}")
    complaints = []
    for renderer in able:
        try:
            return _run(renderer.program, source, fmt, seconds)
        except _FailedError as failure:
            complaints.append(f"{clean(renderer.program)}: {failure}")
    raise MissingError(f"The picture could not be drawn. {' · '.join(complaints)}. {HINT}")


class _FailedError(Exception):
    """Why a renderer drew nothing."""


def _run(program: str, source: str, fmt: str, seconds: float) -> bytes:
    try:
        done = subprocess.run(
            [program, f"-T{fmt}"],
            input=source.encode(),
            capture_output=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _FailedError(f"gave no picture in {seconds:g} seconds") from None
    except OSError as error:
        raise _FailedError(clean(error.strerror or str(error))) from None
    if done.returncode != 0 or not done.stdout:
        said = clean(done.stderr.decode(errors="replace"), _LONGEST_COMPLAINT).strip()
        raise _FailedError(said or f"ended with code {done.returncode} and no picture")
    return done.stdout
