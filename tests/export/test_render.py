"""Outside programs that draw, real and invented ones."""

from __future__ import annotations

import os
import stat
import struct
import sys
import time
from pathlib import Path
from xml.etree import ElementTree

import pytest

from expert.errors import EXIT_MISSING, MissingError
from expert.export import render as rendering
from expert.export.render import Renderer, extra_dot, render, renderers, system_dot
from tests.export.pictures import RENDERERS, SVG, source

DOT = "digraph { rankdir=LR; a -> b }"
each_renderer = pytest.mark.parametrize("renderer", RENDERERS, ids=lambda one: one.program)


def program(folder: Path, body: str) -> Renderer:
    """A program of ours that pretends to be a renderer."""
    path = folder / "pretender"
    path.write_text(f"#!{sys.executable}\nimport sys, time\n{body}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return Renderer(str(path), ("svg", "png", "pdf"))


def test_the_extra_is_found_beside_the_interpreter() -> None:
    found = extra_dot()
    assert found is not None
    assert found.formats == ("svg", "png")
    assert os.access(found.program, os.X_OK)


def test_without_the_extra_there_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rendering, "_EXTRA", "no-such-package-anywhere")
    assert extra_dot() is None


def test_the_system_goes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "dot"
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert system_dot() == Renderer(str(path), ("svg", "png", "pdf"))
    assert next(one.program for one in renderers()) == str(path)


def test_an_empty_path_has_no_system_renderer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert system_dot() is None
    assert [one.formats for one in renderers()] == [("svg", "png")]


def test_a_program_in_the_current_folder_is_not_the_systems(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "dot"
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", ".")
    assert system_dot() is None


@each_renderer
def test_svg_is_an_xml_document_of_the_svg_namespace(renderer: Renderer) -> None:
    root = ElementTree.fromstring(render(source(), "svg", [renderer]))
    assert root.tag == f"{SVG}svg"
    assert len(list(root.iter(f"{SVG}text"))) > 40


@each_renderer
def test_png_has_its_signature_and_a_size(renderer: Renderer) -> None:
    # PNG specification (ISO/IEC 15948), sections 5.2 and 11.2.2.
    data = render(source(), "png", [renderer])
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert data[12:16] == b"IHDR"
    width, height = struct.unpack(">II", data[16:24])
    assert width > height > 400
    assert data[-8:-4] == b"IEND"


def test_the_extra_brings_its_own_fonts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Letters are drawn even where the system has no font at all: text makes the picture darker."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("FONTCONFIG_FILE", str(tmp_path / "none"))
    extra = extra_dot()
    assert extra is not None
    text = render('digraph { a [label="WWWW"] }', "png", [extra])
    none = render('digraph { a [label="    "] }', "png", [extra])
    assert len(text) > len(none) + 100


def test_pdf_comes_from_the_system_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    extra = extra_dot()
    assert extra is not None
    with pytest.raises(MissingError, match=r"draws pdf\. Install the system's Graphviz") as caught:
        render(DOT, "pdf", [extra])
    assert caught.value.exit_code == EXIT_MISSING
    system = system_dot()
    if system is not None:
        # ISO 32000-1, section 7.5.2: a PDF file begins with %PDF- and a version.
        assert render(DOT, "pdf", [system]).startswith(b"%PDF-1.")


def test_without_any_renderer_there_is_a_hint() -> None:
    with pytest.raises(MissingError, match=r"draws svg. Install the images extra .*--format gv"):
        render(DOT, "svg", [])


def test_a_program_that_hangs_is_ended(tmp_path: Path) -> None:
    slow = program(tmp_path, "time.sleep(60)")
    began = time.monotonic()
    with pytest.raises(MissingError, match=r"gave no picture in 0\.5 seconds"):
        render(DOT, "svg", [slow], seconds=0.5)
    assert time.monotonic() - began < 20.0


def test_what_a_program_complains_of_is_said_on_one_clean_line(tmp_path: Path) -> None:
    rude = program(tmp_path, r"sys.stderr.write('bad\x1b[31m\ngraph'); sys.exit(4)")
    with pytest.raises(
        MissingError, match=r"could not be drawn\. .*pretender: bad graph\. Install"
    ):
        render(DOT, "svg", [rude])


def test_a_program_that_says_nothing_and_draws_nothing(tmp_path: Path) -> None:
    for body, code in (("", 0), ("sys.exit(3)", 3)):
        with pytest.raises(MissingError, match=f"ended with code {code} and no picture"):
            render(DOT, "svg", [program(tmp_path, body)])


def test_a_program_that_cannot_be_started(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="No such file"):
        render(DOT, "svg", [Renderer(str(tmp_path / "gone"), ("svg",))])


def test_when_one_fails_the_next_one_draws(tmp_path: Path) -> None:
    broken = program(tmp_path, "sys.exit(1)")
    extra = extra_dot()
    assert extra is not None
    assert b"<svg" in render(DOT, "svg", [broken, extra])


def test_text_goes_to_the_program_as_utf_8(tmp_path: Path) -> None:
    echo = program(tmp_path, "sys.stdout.buffer.write(sys.stdin.buffer.read())")
    assert render("digraph { ä }", "svg", [echo]) == "digraph { ä }".encode()
