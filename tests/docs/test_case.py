"""docs/case.md against the events, the journal and the places of cases."""

from __future__ import annotations

import ast
import json
from dataclasses import fields
from pathlib import Path, PureWindowsPath
from typing import get_args

import pytest

from expert.case.events import FORMAT, NAMES, TEXT_LIMIT, Field, Origin, decode, encode
from expert.case.journal import SIZE_LIMIT, Journal, parse
from expert.case.place import default_folder
from expert.case.state import STEPS, fold
from tests.docs.pages import CASE, ROOT, blocks, code, rows, section, text_of

FORMAT_SECTION = "## Format"


def event_rows() -> dict[str, list[str]]:
    return {code(row[0])[0]: row for row in rows(section(CASE, FORMAT_SECTION))}


def test_events_and_their_fields() -> None:
    found = {name: code(row[1]) for name, row in event_rows().items()}
    assert found == {name: [item.name for item in fields(kind)] for name, kind in NAMES.items()}


def test_words_of_fields() -> None:
    assert set(code(event_rows()["described"][2])) == {*get_args(Field)}
    assert set(code(event_rows()["answered"][2])) == {*get_args(Origin)}


def test_steps_that_can_be_undone() -> None:
    text = section(CASE, FORMAT_SECTION)
    (sentence,) = [part for part in text.split("\n\n") if part.startswith("A step, for")]
    steps = {name for name, kind in NAMES.items() if kind in STEPS}
    assert set(code(sentence)) == steps | {"undone"}


def test_the_lines_of_the_page_are_a_journal() -> None:
    (lines,) = [block.text for block in blocks(text_of(CASE)) if block.mark == "events"]
    read = parse(lines.encode(), "page")
    assert (read.end, len(read.events)) == ("whole", 7)
    state = fold(read.events)
    assert (state.setup, state.symptoms, state.spring_kpa) == ("external-single", ("lazy",), 48.263)
    # The last line took the one before it back.
    assert [finding.check for finding in state.findings] == ["red-flags"]
    for line in lines.splitlines():
        assert encode(*decode(json.loads(line))) == json.loads(line)


def test_numbers_of_the_format() -> None:
    text = text_of(CASE)
    assert f"This page describes format {FORMAT}." in text
    assert f"at most {SIZE_LIMIT // 2**20} MiB" in text
    assert f"a text in it at most {TEXT_LIMIT} characters" in text


def test_places() -> None:
    table = {row[0].split()[0]: code(row[1]) for row in rows(section(CASE, "## Where it is kept"))}
    home = Path("/home/me")

    def place(platform: str, **environ: str) -> str:
        return default_folder(platform, environ, home).as_posix()

    named, usual = table["Linux"]
    assert place("linux", XDG_DATA_HOME="/data") == named.replace("$XDG_DATA_HOME", "/data")
    assert place("linux") == usual.replace("~", "/home/me")
    (usual,) = table["macOS"]
    assert place("darwin") == usual.replace("~", "/home/me")
    named, usual = (PureWindowsPath(name).as_posix() for name in table["Windows"])
    assert place("win32", LOCALAPPDATA="/local") == named.replace("%LOCALAPPDATA%", "/local")
    assert place("win32") == usual.replace("~", "/home/me")


def test_no_network() -> None:
    assert "opens no network connection" in " ".join(text_of(CASE).split())
    # urllib.parse takes addresses apart and opens none.
    network = {"socket", "ssl", "http", "urllib", "ftplib", "smtplib", "asyncio", "requests"}
    for path in (ROOT / "expert").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            opening = {name.split(".")[0] for name in names if name != "urllib.parse"}
            assert not network & opening, path


def test_a_case_holds_nothing_of_the_machine(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("USER", "somebody-by-name")
    path = tmp_path / "folder-of-somebody" / "car.case.jsonl"
    with Journal.open(path, "digest"):
        pass
    text = path.read_text(encoding="utf-8")
    assert "somebody" not in text
    assert set(json.loads(text)) == {"format", "time", "event", "knowledge"}
