"""A plan made true in a copy."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

import pytest

from expert.errors import MissingError
from expert.workbench.add.plan import Change, plan
from expert.workbench.add.stage import write_all
from expert.workbench.add.trial import Trial, trial
from tests.workbench.add import folders
from tests.workbench.add.test_stage import tree


def tried(into: Path, answers: dict[str, tuple[str, ...]]) -> Trial:
    place, loaded, setting = folders.opened(into)
    new = folders.entry(setting, answers)
    return trial(new, plan(new, loaded, place), place, loaded)


@pytest.mark.parametrize("answers", [folders.CAUSE, folders.CHECK], ids=["cause", "check"])
def test_a_good_entry_is_found_and_nothing_is_left_behind(
    base: Path, tmp_path: Path, answers: dict[str, tuple[str, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "temporary").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    before = tree(tmp_path)
    found = tried(tmp_path / "shop", answers)
    assert found.mistakes == ()
    assert found.tried is not None
    assert found.tried.named == ("lid-off" if answers is folders.CAUSE else "ring-missing")
    assert found.tried.lines == found.tried.broken == found.tried.ways == ()
    assert tree(tmp_path) == before


def test_without_cases_nothing_is_tried(base: Path) -> None:
    answers = {key: value for key, value in folders.CAUSE.items() if not key.startswith("case/")}
    assert tried(base, {**answers, "case": ("no",)}).tried is None


def test_a_case_that_misses_is_told_with_its_place_in_the_folder(base: Path) -> None:
    found = tried(base, {**folders.CAUSE, "case/drive": ("ok",), "case/within": ("1",)})
    assert found.tried is not None
    assert any("causes/all.cases.yaml:" in line for line in found.tried.lines)
    text = "\n".join(found.tried.lines)
    assert "expected ok, found caution" in text
    assert "at most 1 checks" in text
    assert tempfile.gettempdir() + "/gatepost-" not in text


def test_mistakes_are_told_as_of_the_folder_itself(base: Path) -> None:
    place, loaded, setting = folders.opened(base)
    new = folders.entry(setting, folders.CAUSE)
    made = plan(new, loaded, place)
    broken = Change(base / "causes" / "all.yaml", None, b"x: {title: y}\n")
    found = trial(new, replace(made, changes=(broken,)), place, loaded)
    assert found.mistakes
    assert any("base/causes/all.yaml:1:" in mistake for mistake in found.mistakes)
    assert "gatepost-" not in "".join(found.mistakes)


def test_a_case_that_came_out_right_before_is_named(base: Path) -> None:
    dear = {**folders.CAUSE, "minutes": ("400",), "parts": ("very-high",)}
    write_all(_changes(base, {**dear, "case/within": ("2",)}))
    # A second cause that shows much the same, so that one check more is worth its while.
    answers = {
        **dear,
        "title": ("Lid turned round",),
        "id": ("lid-turned",),
        "case": ("no",),
        "seen/just-fitted": ("common",),
        "symptom/lazy": ("certain",),
        "shows/light": ("crescent", "ring"),
        "share/light/crescent": ("0",),
        "share/light/ring": ("0",),
        "share/lid/crooked": ("certain",),
    }
    answers = {key: value for key, value in answers.items() if not key.startswith("case/")}
    found = tried(base, answers)
    assert found.tried is not None
    assert found.tried.named is None
    assert found.tried.broken == ("lid-in-boot",)
    assert any("lid-in-boot" in line for line in found.tried.lines)
    (way,) = found.tried.ways
    assert way.startswith("lid-in-boot: 2 checks before, ")


def _changes(base: Path, answers: dict[str, tuple[str, ...]]) -> list[Change]:
    place, loaded, setting = folders.opened(base)
    return list(plan(folders.entry(setting, answers), loaded, place).changes)


def test_a_copy_that_cannot_be_made_is_one_message(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "gone"))
    with pytest.raises(MissingError, match="cannot be tried in a copy"):
        tried(base, folders.CAUSE)
