"""What holds for every page: links lead somewhere, names exist, commands are understood."""

from __future__ import annotations

import importlib.util
import re
import shlex
import unicodedata
from pathlib import Path

import pytest

from expert.options import parse
from tests.docs.pages import PAGES, ROOT, blocks, code, gatepost_lines, text_of, without_blocks

page = pytest.mark.parametrize("page", PAGES, ids=lambda path: path.name)


def slug(heading: str) -> str:
    """The anchor that GitHub gives a heading (from memory of its behaviour)."""
    kept = [
        letter
        for letter in heading.casefold().replace("`", "")
        if letter in "-_ " or unicodedata.category(letter)[0] in "LN"
    ]
    return "".join(kept).replace(" ", "-")


def anchors(path: Path) -> set[str]:
    headings = re.findall(r"^#+ (.+)$", without_blocks(text_of(path)), re.MULTILINE)
    return {slug(heading) for heading in headings}


def test_slugs() -> None:
    assert slug("Finding mistakes") == "finding-mistakes"
    assert slug("gatepost rank") == "gatepost-rank"
    assert slug("Set up, and run `it`") == "set-up-and-run-it"


@page
def test_links_lead_somewhere(page: Path) -> None:
    links = re.findall(r"\]\(([^)]+)\)", without_blocks(text_of(page)))
    assert links
    for link in links:
        if link.startswith("https://"):
            continue
        name, _, anchor = link.partition("#")
        target = (page.parent / name).resolve() if name else page
        assert target.is_file(), f"{page.name}: {link}"
        assert not anchor or anchor in anchors(target), f"{page.name}: {link}"


@page
def test_paths_and_names_exist(page: Path) -> None:
    text = text_of(page)
    written = {f"knowledge/{block.mark.removeprefix('write ')}" for block in blocks(text)}
    for name in code(without_blocks(text)):
        if re.fullmatch(r"(?:expert|tests|docs|knowledge)/[\w./-]*", name):
            assert (ROOT / name).exists() or name in written, name
        elif re.fullmatch(r"expert(?:\.\w+)+", name):
            assert resolves(name), name


def resolves(dotted: str) -> bool:
    module, _, attribute = dotted.rpartition(".")
    try:
        importlib.import_module(dotted)
    except ModuleNotFoundError:
        owner, _, inner = module.rpartition(".")
        try:
            return hasattr(importlib.import_module(module), attribute)
        except ModuleNotFoundError:
            return hasattr(getattr(importlib.import_module(owner), inner), attribute)
    return True


def test_a_wrong_name_is_found() -> None:
    assert resolves("expert.case.consult.Consultant.consult")
    assert not resolves("expert.case.consult.nothing")


@page
def test_gatepost_lines_are_understood(page: Path) -> None:
    for line in gatepost_lines(text_of(page)):
        parse(shlex.split(line)[1:])


@page
def test_modules_to_run_are_there(page: Path) -> None:
    for name in re.findall(r"python -m ((?:expert|tests)[\w.]*)", text_of(page)):
        assert importlib.util.find_spec(name) is not None, name


@page
def test_every_fence_has_a_language(page: Path) -> None:
    assert all(block.lang for block in blocks(text_of(page)))


@page
def test_lines_fit_an_editor(page: Path) -> None:
    prose = without_blocks(text_of(page))
    long = [line for line in prose.splitlines() if len(line) > 110 and not line.startswith("|")]
    assert long == []
