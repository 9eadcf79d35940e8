"""Where cases are kept, by the conventions of each platform."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest

from expert.case.place import cases_in, default_folder, latest_case, new_case_path
from expert.errors import MissingError

HOME = Path("/home/somebody")


@pytest.mark.parametrize(
    ("platform", "environ", "expected"),
    [
        # XDG Base Directory Specification 0.8: $HOME/.local/share when unset, and a relative
        # path in the variable is to be ignored.
        ("linux", {}, "/home/somebody/.local/share/gatepost/cases"),
        ("linux", {"XDG_DATA_HOME": "/data"}, "/data/gatepost/cases"),
        ("linux", {"XDG_DATA_HOME": "data"}, "/home/somebody/.local/share/gatepost/cases"),
        # Apple's File System Programming Guide, from memory.
        ("darwin", {}, "/home/somebody/Library/Application Support/gatepost/cases"),
        ("win32", {"LOCALAPPDATA": "/users/x/local"}, "/users/x/local/gatepost/cases"),
        ("win32", {}, "/home/somebody/AppData/Local/gatepost/cases"),
    ],
)
def test_default_folder(platform: str, environ: dict[str, str], expected: str) -> None:
    assert default_folder(platform, environ, HOME) == Path(expected)


def test_a_new_case_never_takes_a_name_that_is_taken(tmp_path: Path) -> None:
    now = datetime(2031, 5, 4, 10, 20, 30, tzinfo=UTC)
    names = []
    for _ in range(3):
        path = new_case_path(tmp_path, now)
        path.touch()
        names.append(path.name)
    assert names == [
        "2031-05-04-102030.case.jsonl",
        "2031-05-04-102030-2.case.jsonl",
        "2031-05-04-102030-3.case.jsonl",
    ]


def test_the_latest_case_is_the_one_changed_last(tmp_path: Path) -> None:
    for age, name in enumerate(["b", "a", "c"]):
        path = tmp_path / f"{name}.case.jsonl"
        path.touch()
        os.utime(path, (1_000_000 - age, 1_000_000 - age))
    (tmp_path / "other.txt").touch()
    assert [path.name[0] for path in cases_in(tmp_path)] == ["b", "a", "c"]
    assert latest_case(tmp_path).name == "b.case.jsonl"


def test_without_a_case_there_is_no_latest(tmp_path: Path) -> None:
    assert cases_in(tmp_path / "nowhere") == []
    with pytest.raises(MissingError, match="there is no case yet"):
        latest_case(tmp_path / "nowhere")
