"""The report of a comparison: ``expert/workbench/diff_report.py``."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from expert.workbench import sides as module
from expert.workbench.changes import FieldChange
from expert.workbench.diff import Difference, difference
from expert.workbench.diff_report import diff_json, field_line, lines
from expert.workbench.sides import Side, side
from tests.loading.folders import SMALL, edited, write

CASE = """\
ring-gone:
  title: The ring was left out
  setup: external
  symptoms: [lazy]
  answers: {light: ring}
  rest: sound
  expect: {cause: ring-missing, within: 3}
  basis: invented
"""
# What the reasoning looks up by name.
FIRST = """\
red-flags:
  ask: What have you noticed?
  kind: nominal
  minutes: 1
  answers: {none: nothing, knock: a knock}
  danger: {knock: stop}
  basis: invented
hose-trace:
  ask: Does every hose match?
  kind: nominal
  minutes: 2
  answers: {matches: all of them, loose: one hangs loose}
  given:
    hose-off: {loose: almost-certain}
  basis: invented
"""
# The other checks of the small knowledge, without those that stand above under their usual names.
CHECKS = SMALL["checks/all.yaml"]
CHECKS = CHECKS.partition("flags:")[0] + CHECKS[CHECKS.index("light:\n") :]
BASE = {
    "causes/all.cases.yaml": CASE,
    "checks/first.yaml": FIRST,
    "checks/all.yaml": CHECKS,
    "symptoms/lazy.yaml": SMALL["symptoms/lazy.yaml"].replace("check: flags", "check: red-flags"),
}
LAMP = {"checks/all.yaml": CHECKS.replace("ring: almost-certain", "ring: .02")}


def compared(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, files: dict[str, str]
) -> tuple[Difference, Side, Side]:
    """The small knowledge with what cases need, against the same with some files changed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(module, "shipped_folder", lambda: tmp_path / "old")
    write(tmp_path / "old", BASE)
    write(tmp_path / "new", {**BASE, **files})
    old, new = side("old", []), side("new", [])
    return difference(old, new), old, new


def test_everything_is_told_with_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lazy = BASE["symptoms/lazy.yaml"]
    files = {
        **LAMP,
        **edited("tools.yaml", "a lamp}", "a lamp}\nmirror: {title: a mirror}"),
        "symptoms/lazy.yaml": lazy.replace("ring: {suspect: [ring-missing]}", "ring: run"),
    }
    text = list(lines(*compared(tmp_path, monkeypatch, files)))
    assert text[0] == "From old to new: 3 entries differ."
    assert text[1:3] == ["tools:", "  new/tools.yaml:2:1: added mirror"]
    assert "  new/checks/all.yaml:7:1: changed light" in text
    assert (
        "    21:20 given ring-missing ring: almost-certain (0.93) -> 0.02 (-16.7 decibans)" in text
    )
    assert "    24:7 subtrees gate then ring: suspects ring-missing -> goes on at run" in text
    assert "Cases: of 1 known case 1 can be touched and were played; 1 differs." in text
    (number,) = [k for k, line in enumerate(text) if "ring-gone: The ring was left out" in line]
    assert text[number].startswith("  new/causes/all.cases.yaml:1:1: ring-gone")
    assert text[number + 1].startswith("    before: named ring-missing after ")
    assert text[number + 2].startswith("    after:  ")
    assert "misses: cause" in text[number + 2]
    assert "Trees: 1 place where they part." in text
    (number,) = [k for k, line in enumerate(text) if "lazy, another end" in line]
    assert text[number].startswith("  new/symptoms/lazy.yaml:26:3: ")
    assert text[number + 1 : number + 5] == [
        "    way:    red-flags none, light ring",
        "    before: suspects ring-missing",
        "    after:  asks spring-run",
        "    cars:   external; external, bypass blow-off; manual, external gate; "
        "manual, external gate, bypass blow-off",
    ]
    assert [line for line in text if line.startswith("First questions: ")]


def test_nothing_differs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = compared(tmp_path, monkeypatch, {})
    assert list(lines(*found)) == ["From old to new: no entries differ."]
    shown = diff_json(*found)
    assert shown["changes"] == shown["cases"] == shown["leaves"] == []
    assert shown["old"]["digest"] == shown["new"]["digest"]


def test_a_case_of_one_side_and_an_entry_that_went(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found, old, new = compared(tmp_path, monkeypatch, {})
    _, old, new = found, new, old
    alone = replace(new, loaded=new.loaded._replace(cases={}))
    text = list(lines(difference(old, alone), old, alone))
    assert "  new/causes/all.cases.yaml:1:1: removed ring-gone" in text
    assert "  new/causes/all.cases.yaml:1:1: ring-gone (only in new): The ring was left out" in text
    (only,) = diff_json(difference(old, alone), old, alone)["cases"]
    assert only["only"] == "old"
    assert only["before"] == only["after"] is not None


def test_the_object_holds_what_the_text_holds(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: dict[str, Any] = json.loads(
        json.dumps(diff_json(*compared(tmp_path, monkeypatch, LAMP)))
    )
    (change,) = shown["changes"]
    assert change["place"] == "new/checks/all.yaml:7:1"
    (field,) = change["fields"]
    assert field["path"] == ["given", "ring-missing", "ring"]
    assert field["place"] == "new/checks/all.yaml:21:20"
    assert field["decibans"] == pytest.approx(-16.67, abs=0.01)
    (case,) = shown["cases"]
    assert case["before"]["named"] == "ring-missing"
    assert case["after"]["misses"]
    assert shown["cases_played"] == 1


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (FieldChange(("minutes",), "2", "3"), "minutes: 2 -> 3"),
        (FieldChange(("loads_engine",), None, "true"), "loads-engine: new, true"),
        (FieldChange(("harm",), "mechanical", None), "harm: gone, was mechanical"),
        (FieldChange(("ask",), "a", "b", "[a -> b]"), "ask: [a -> b]"),
    ],
)
def test_a_value_in_a_line(change: FieldChange, expected: str) -> None:
    assert field_line(change) == expected
