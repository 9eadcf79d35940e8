"""A plumbing in a file: ``expert/export/hookup_draw.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import MissingError, UsageError
from expert.export.hookup_draw import draw_hookup
from expert.export.render import renderers

SOURCE = "digraph { a -> b }"


def test_source_and_pictures(tmp_path: Path) -> None:
    draw_hookup(SOURCE, tmp_path / "wall.gv")
    assert (tmp_path / "wall.gv").read_text() == SOURCE
    if not any("png" in one.formats for one in renderers()):
        pytest.skip("nothing here draws PNG")
    draw_hookup(SOURCE, tmp_path / "deep" / "wall.PNG")
    assert (tmp_path / "deep" / "wall.PNG").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["wall", "wall.jpg", ".svg"])
def test_a_name_that_is_no_picture(name: str, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="expected a name that ends in one of"):
        draw_hookup(SOURCE, tmp_path / name)


def test_nothing_that_draws(tmp_path: Path) -> None:
    with pytest.raises(MissingError):
        draw_hookup(SOURCE, tmp_path / "wall.svg", find=list)
    assert not list(tmp_path.iterdir())
