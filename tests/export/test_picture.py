"""A graph in a file: ``expert/export/picture.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from expert.errors import MissingError, UsageError
from expert.export.picture import draw_picture
from expert.export.render import renderers

SOURCE = "digraph { a -> b }"


def test_source_and_pictures(tmp_path: Path) -> None:
    draw_picture(SOURCE, tmp_path / "wall.gv")
    assert (tmp_path / "wall.gv").read_text() == SOURCE
    if not any("png" in one.formats for one in renderers()):
        pytest.skip("nothing here draws PNG")
    draw_picture(SOURCE, tmp_path / "deep" / "wall.PNG")
    assert (tmp_path / "deep" / "wall.PNG").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["wall", "wall.jpg", ".svg"])
def test_a_name_that_is_no_picture(name: str, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="expected a name that ends in one of"):
        draw_picture(SOURCE, tmp_path / name)


def test_nothing_that_draws(tmp_path: Path) -> None:
    with pytest.raises(MissingError):
        draw_picture(SOURCE, tmp_path / "wall.svg", find=list)
    assert not list(tmp_path.iterdir())
