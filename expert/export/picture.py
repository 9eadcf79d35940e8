"""A graph drawn into a file, in the form that its name asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from expert.errors import UsageError
from expert.export.files import write_whole
from expert.export.render import PICTURES, Renderer, render, renderers
from expert.text import clean

SOURCE = "gv"


def kind_of(path: Path) -> str:
    """The kind of picture that a name asks for. Raises UsageError when it ends in none."""
    kind = path.suffix.removeprefix(".").lower()
    if kind not in (SOURCE, *PICTURES):
        ends = ", ".join(f".{one}" for one in (*PICTURES, SOURCE))
        raise UsageError(f"{clean(str(path), 80)}: expected a name that ends in one of {ends}.")
    return kind


def draw_picture(
    source: str, path: Path, find: Callable[[], Sequence[Renderer]] = renderers
) -> None:
    """Draw DOT text into ``path``.

    Raises UsageError for a name that ends in no kind of picture, MissingError when it cannot be
    drawn or written.
    """
    kind = kind_of(path)
    write_whole(path, source.encode() if kind == SOURCE else render(source, kind, find()))
