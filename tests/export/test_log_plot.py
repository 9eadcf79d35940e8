from __future__ import annotations

import builtins
import io
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from matplotlib.image import imread

from expert.errors import MissingError, UsageError
from expert.evidence.log.record import Recording
from expert.export.log_curves import curves
from expert.export.log_plot import picture, picture_suffix, write_plot
from tests.export.logs import FEATURES, FINDINGS, SPRING_KPA, recording


def drawn(suffix: str, file: str = "run.csv", **without: bool) -> bytes:
    log = recording(file, **without)
    return picture(log.file, curves(log, FEATURES, FINDINGS), SPRING_KPA, suffix)


def test_an_svg_is_whole_and_holds_no_script() -> None:
    root = ET.fromstring(drawn(".svg", "<script>alert(1)</script> $x^2$.csv"))
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert not [node for node in root.iter() if node.tag.endswith("script")]


def test_the_same_log_gives_the_same_bytes() -> None:
    assert drawn(".svg") == drawn(".svg")
    assert drawn(".png") == drawn(".png")


def test_boost_is_in_the_picture_and_evidence_is_shaded() -> None:
    with_marks = imread(io.BytesIO(drawn(".png")), format="png")
    log = recording()
    bare = imread(
        io.BytesIO(picture("run.csv", curves(log, FEATURES, ())[:1], SPRING_KPA, ".png")),
        format="png",
    )

    def near(image: Any, colour: tuple[float, float, float], slack: float) -> int:
        return int((np.abs(image[..., :3] - np.array(colour)).max(axis=-1) < slack).sum())

    blue = (0.0, 0x72 / 255, 0xB2 / 255)
    assert near(with_marks, blue, 0.02) > 500
    yellow = (0.98, 0.97, 0.84)
    assert near(with_marks, yellow, 0.03) > 5_000 > near(bare, yellow, 0.03)


def test_a_log_without_duty_and_target_is_drawn() -> None:
    assert drawn(".png", duty=False, target=False).startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["run", "run.pdf", "run.svg.exe"])
def test_other_endings_are_refused(name: str) -> None:
    with pytest.raises(UsageError, match=r"must end in \.svg or \.png"):
        picture_suffix(Path(name))


def test_the_file_is_written_whole(tmp_path: Path) -> None:
    path = tmp_path / "new" / "RUN.SVG"
    write_plot(path, recording(), FEATURES, FINDINGS, None)
    assert ET.fromstring(path.read_bytes()).tag.endswith("svg")
    assert [one.name for one in path.parent.iterdir()] == ["RUN.SVG"]


def test_a_log_without_boost_says_what_to_do(tmp_path: Path) -> None:
    bare = Recording("x.csv", np.arange(3.0), {"rpm": np.arange(3.0)}, ())
    with pytest.raises(MissingError, match="--channel boost="):
        write_plot(tmp_path / "x.svg", bare, FEATURES, (), None)
    assert list(tmp_path.iterdir()) == []


def test_without_the_library_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def refuse(name: str, *rest: Any) -> Any:
        if name.startswith("matplotlib"):
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", refuse)
    with pytest.raises(MissingError, match=r"pip install 'gatepost\[images\]'"):
        drawn(".svg")
