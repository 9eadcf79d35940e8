"""Folders laid over others, from the command line to its one message."""

from __future__ import annotations

import json
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from expert.cli import main
from expert.loading.folder import load, load_with_cases, load_with_places
from tests.loading import folders

LIGHT = folders.CHECKS[folders.CHECKS.index("light:") : folders.CHECKS.index("spring-run:")]
RING = folders.CAUSES[: folders.CAUSES.index("hose-off:")]
BRIGHT, BROAD = "lamp: {title: a bright lamp}\n", "lamp: {title: a broad lamp}\n"


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small knowledge, in place of the shipped one."""
    monkeypatch.chdir(tmp_path)
    made = folders.write(tmp_path / "base")
    monkeypatch.setattr("expert.loading.folder.shipped_folder", lambda: made)
    return made


def overlay(name: str, files: dict[str, str | bytes]) -> Path:
    folder = Path(name)
    folder.mkdir(exist_ok=True)
    for file, text in files.items():
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def show(capsys: pytest.CaptureFixture[str], name: str, *own: str) -> dict[str, Any]:
    line = ["knowledge", "show", name, "--json"]
    assert main([*line, *(word for one in own for word in ("--knowledge", one))]) == 0
    (entry,) = json.loads(capsys.readouterr().out)["entries"]
    found: dict[str, Any] = entry
    return found


def refused(capsys: pytest.CaptureFixture[str], code: int, *own: str) -> list[str]:
    """The lines on stderr of a command that cannot read these folders."""
    line = ["knowledge", "try", *(word for one in own for word in ("--knowledge", one))]
    assert main(line) == code
    told = capsys.readouterr()
    assert told.out == ""
    return told.err.splitlines()


def test_the_last_folder_has_the_last_word(base: Path, capsys: pytest.CaptureFixture[str]) -> None:
    overlay("one", {"tools.yaml": BRIGHT})
    overlay("two", {"tools.yaml": BROAD})
    last = show(capsys, "lamp", "one", "two")
    assert (last["folder"], last["text"]) == ("two", BROAD.rstrip("\n"))
    assert [each["place"] for each in last["overrides"]] == [
        "one/tools.yaml:1:1",
        "base/tools.yaml:1:1",
    ]
    assert show(capsys, "lamp", "two", "one")["text"] == BRIGHT.rstrip("\n")


def test_an_override_stands_where_its_original_stood(base: Path) -> None:
    own = overlay("own", {"checks/mine.yaml": LIGHT.replace("What light", "How much light")})
    before, after = load([base]), load([base, own])
    assert list(after.checks) == list(before.checks)
    assert after.checks["light"].ask == "How much light comes through?"
    assert {name for name in before.checks if before.checks[name] != after.checks[name]} == {
        "light"
    }


def test_the_same_folder_twice_is_the_same_as_once(
    base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = overlay("own", {"tools.yaml": BRIGHT, "causes/mine.yaml": RING})
    once, twice = load_with_cases([base, own]), load_with_cases([base, own, own])
    for field in ("tools", "causes", "checks", "symptoms"):
        assert getattr(once.knowledge, field) == getattr(twice.knowledge, field)
    assert show(capsys, "lamp", "own", "own") == show(capsys, "lamp", "own")
    assert [each.document.file for each in twice.places.overridden("tool", "lamp")] == [
        "base/tools.yaml"
    ]


def test_every_mistake_of_every_folder_is_told_at_once(
    base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    overlay("one", {"tools.yaml": "lamp: {titel: a lamp}\n"})
    overlay("two", {"causes/mine.yaml": "ring-missing: [\n"})
    told = refused(capsys, 1, "one", "two")
    assert told[0].startswith("gatepost: one/tools.yaml:1:8: the key 'titel' is not known")
    assert told[1].startswith("two/causes/mine.yaml:1:16: ")
    assert told[2:] == ["Mend the 2 mistakes in the knowledge first."]


def test_an_answer_that_another_entry_needs(base: Path, capsys: pytest.CaptureFixture[str]) -> None:
    gone = LIGHT.replace("    ring: a full ring\n", "").replace("ring: almost-certain, ", "")
    overlay("own", {"checks/mine.yaml": gone})
    told, _ = refused(capsys, 1, "own")
    assert told == (
        "gatepost: base/symptoms/lazy.yaml:24:7: of the check 'light' as own/checks/mine.yaml:1 "
        "overrides it, the answer 'ring' is not known; expected one of dark, crescent"
    )


def test_an_entry_that_another_one_names_cannot_be_lost(
    base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    overlay("own", {"causes/mine.yaml": RING.replace("external-gate", "outer-gate")})
    told, _ = refused(capsys, 1, "own")
    assert told.startswith("gatepost: own/causes/mine.yaml:4:11: ")
    assert "outer-gate" in told


def test_files_that_editors_leave_behind(base: Path) -> None:
    own = overlay(
        "own",
        {
            "tools.yaml": BRIGHT,
            "tools.yaml~": b"\0\1\2",
            ".tools.yaml.swp": b"\0\1\2",
            ".#tools.yaml": b"x",
            "causes/.mine.yaml.swo": b"\0",
            "causes/4913": b"",
            "causes/#mine.yaml#": b"half a line",
            "causes/mine.yaml.orig": b"half a line",
            "notes.txt": "ask Monday",
        },
    )
    assert load([base, own]).tools["lamp"].title == "a bright lamp"


def test_line_ends_and_a_byte_order_mark(base: Path, capsys: pytest.CaptureFixture[str]) -> None:
    windows = LIGHT.replace("\n", "\r\n").encode("utf-8-sig")
    overlay("own", {"checks/mine.yaml": windows})
    found = show(capsys, "light", "own")
    assert found["text"] == LIGHT.rstrip("\n")
    assert found["place"] == "own/checks/mine.yaml:1:1"
    assert found["overrides"][0]["differs"] == []
    _, places = load_with_places([base, Path("own")])
    assert str(places.of("check", "light", "given", "ring-missing")) == "own/checks/mine.yaml:15:5"


@pytest.fixture
def locked(base: Path) -> Iterator[Path]:
    """A folder that can be read and not written."""
    own = overlay("own", {"tools.yaml": BRIGHT + "\n\n"})
    modes = stat.S_IRUSR | stat.S_IXUSR
    (own / "tools.yaml").chmod(stat.S_IRUSR)
    own.chmod(modes)
    yield own
    own.chmod(modes | stat.S_IWUSR)


def test_a_folder_that_cannot_be_written_is_read(
    locked: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(locked.rglob("*"))
    assert show(capsys, "lamp", "own")["folder"] == "own"
    assert main(["knowledge", "check", "--knowledge", "own", "--rule", "no-car"]) == 0
    assert sorted(locked.rglob("*")) == before


@pytest.mark.parametrize(
    ("path", "message"),
    [
        ("own.yaml", "own.yaml: this is a file; expected a folder"),
        ("nowhere", "nowhere: there is no such folder"),
        ("", None),
        ("a\0b", "cannot be read"),
        ("x" * 300, "cannot be read"),
    ],
)
def test_a_path_that_is_no_folder(
    path: str, message: str | None, base: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("own.yaml").write_text(BRIGHT, encoding="utf-8")
    if message is None:
        # An empty name is that of a variable that was not set, and means no folder.
        told = refused(capsys, 2, path)[0]
        assert told.startswith("gatepost: ")
        return
    (told,) = refused(capsys, 3, path)
    assert told.startswith("gatepost: ")
    assert message in told
