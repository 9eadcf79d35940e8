"""Ids that are taken for one another."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import lines


def _tools(*names: str) -> dict[str, str]:
    return {"tools.yaml": "".join(f"{name}: {{title: number {name}}}\n" for name in names)}


@pytest.mark.parametrize(
    ("one", "other"),
    [("lamp", "lamps"), ("lamp", "lam"), ("lamp", "lump"), ("lamp", "lapm"), ("a-b-c", "c-a-b")],
)
def test_the_later_of_two_is_shown(one: str, other: str, tmp_path: Path) -> None:
    assert lines("similar-ids", tmp_path, _tools(one, "quite-another", other)) == [
        f"tools.yaml:3:1: '{other}' is easily taken for the tool '{one}'; rename one of them"
    ]


@pytest.mark.parametrize(
    ("one", "other"), [("lamp-1", "lamp-2"), ("lamp-9", "lamp-10"), ("lamp", "torch")]
)
def test_a_series_and_different_words_are_fine(one: str, other: str, tmp_path: Path) -> None:
    assert lines("similar-ids", tmp_path, _tools(one, other)) == []
