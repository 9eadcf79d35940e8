"""Which files change, and how."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from expert.errors import UsageError
from expert.loading.folder import load_with_cases
from expert.workbench.add.plan import Plan, plan
from expert.workbench.add.stage import write_all
from tests.workbench.add import folders


def planned(into: Path, answers: dict[str, tuple[str, ...]], *overlays: Path) -> Plan:
    place, loaded, setting = folders.opened(into, overlays)
    return plan(folders.entry(setting, answers), loaded, place)


def texts(made: Plan, folder: Path) -> dict[str, Any]:
    """The files of a plan as PyYAML's own loader reads them."""
    return {
        str(one.path.relative_to(folder)): yaml.load(one.after, Loader=yaml.BaseLoader)
        for one in made.changes
    }


def test_in_its_own_folder_lines_are_put_in_and_nothing_is_copied(base: Path) -> None:
    made = planned(base, folders.CAUSE)
    assert made.notes == ()
    for change in made.changes:
        if change.before is None:
            continue
        # Every line of before is there, in its order.
        rest = iter(change.after.splitlines())
        for line in change.before.splitlines():
            stem = line.rstrip(b"]}")
            assert any(other.startswith(stem) for other in rest), line
    made_of = texts(made, base)
    assert list(made_of) == [
        "causes/all.yaml",
        "checks/all.yaml",
        "checks/lid.yaml",
        "symptoms/lazy.yaml",
        "causes/all.cases.yaml",
    ]
    assert made_of["checks/lid.yaml"]["lid"]["given"]["lid-off"] == {"crooked": "almost-certain"}
    assert made_of["symptoms/lazy.yaml"]["causes"]["lid-off"] == "probable"
    leaf = made_of["symptoms/lazy.yaml"]["subtrees"]["gate"]["then"]["ring"]
    assert leaf == {"suspect": ["ring-missing", "lid-off"]}
    comments = [line for line in folders.LID.splitlines() if "#" in line]
    lid = next(one.after.decode() for one in made.changes if one.path.name == "lid.yaml")
    assert [line for line in lid.splitlines() if "#" in line] == comments


def test_in_an_overlay_whole_entries_are_copied_word_for_word(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    made = planned(shop, folders.CAUSE)
    copied = [note for note in made.notes if "is copied whole from" in note]
    assert len(copied) == 4
    assert "does not follow later changes" in made.notes[-1]
    lid = next(one.after.decode() for one in made.changes if one.path.name == "lid.yaml")
    begin = folders.LID.index("# Nothing was ever")
    end = folders.LID.index("\n# The last one.")
    assert lid.replace("    lid-off: {crooked: almost-certain}\n", "") == folders.LID[begin:end]
    symptom = next(one.after for one in made.changes if one.path.name == "lazy.yaml")
    assert b"lid-off: probable\n" in symptom
    # Two entries of one file go into one file.
    assert list(texts(made, shop)["checks/all.yaml"]) == ["light", "spring-run"]


def test_a_file_of_the_overlay_keeps_its_form_and_gets_the_copy(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    (shop / "checks").mkdir(parents=True)
    mine = folders.LID.replace("lid:", "cover:", 1).replace("bolts:", "nuts:")
    before = ("\ufeff" + mine.replace("\n", "\r\n")).encode()
    (shop / "checks" / "lid.yaml").write_bytes(before)
    made = planned(shop, {**folders.CAUSE, "shows/cover": ()})
    change = next(one for one in made.changes if one.path.name == "lid.yaml")
    assert change.before == before
    assert change.after.startswith(before)
    added = change.after[len(before) :].decode()
    assert added.startswith("\r\n# Nothing was ever seen to move it.\r\nlid:\r\n")
    assert "\n" not in added.replace("\r\n", "")


def test_a_check_without_given_gets_one(base: Path) -> None:
    path = base / "checks" / "opening.yaml"
    text = (
        path.read_text()
        .replace("    hose-off: {loose: certain}\n", "")
        .replace("  healthy: {loose: .01}\n  given:\n", "  danger: {loose: stop}\n")
    )
    path.write_text(text)
    answers = {
        **folders.CAUSE,
        "shows/bolts": ("enough",),
        "more-checks": ("hose-trace",),
        "shows-too/hose-trace": ("loose",),
        "share/hose-trace/loose": ("improbable",),
    }
    del answers["shows/hose-trace"]
    made = planned(base, answers)
    after = next(one.after for one in made.changes if one.path == path).decode()
    assert after == text.replace(
        "  danger: {loose: stop}\n  basis",
        "  danger: {loose: stop}\n  given:\n    lid-off: {loose: improbable}\n  basis",
    )


def test_a_schema_is_named_where_the_folder_has_one(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    (shop / "schema").mkdir(parents=True)
    (shop / "schema" / "check.json").write_text("{}")
    made = planned(shop, folders.CHECK)
    first = {one.path.name: one.after.decode().splitlines()[0] for one in made.changes}
    assert first["rings.yaml"] == "# yaml-language-server: $schema=../schema/check.json"
    assert first["rings.cases.yaml"] == "no-ring:"


def test_a_later_folder_that_overrides_is_not_written_past(base: Path, tmp_path: Path) -> None:
    shop, car = tmp_path / "shop", tmp_path / "car"
    shop.mkdir()
    (car / "symptoms").mkdir(parents=True)
    (car / "symptoms" / "lazy.yaml").write_bytes((base / "symptoms" / "lazy.yaml").read_bytes())
    with pytest.raises(UsageError, match="would have no effect"):
        planned(shop, folders.CAUSE, shop, car)


def test_after_every_single_file_the_folder_loads(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    made = planned(shop, folders.CAUSE)
    for change in made.changes:
        write_all([change])
        load_with_cases([base, shop])
    assert "lid-in-boot" in load_with_cases([base, shop]).cases


def test_a_check_gets_its_place_in_the_tree(base: Path) -> None:
    path = base / "symptoms" / "lazy.yaml"
    made = planned(base, folders.CHECK)
    after = next(one.after for one in made.changes if one.path == path).decode()
    lines = (
        "    check: ring-look\n    then:\n      gone: {suspect: [ring-missing]}\n"
        "      otherwise: after-ring-look\n      unknown: after-ring-look\n  after-ring-look:\n"
    )
    assert after.replace(lines, "") == path.read_text()


def test_what_is_written_is_what_was_answered(base: Path, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    write_all(planned(shop, folders.CHECK).changes)
    loaded = load_with_cases([base, shop])
    check = loaded.knowledge.checks["ring-look"]
    assert check.how == ("Take it out.", "Hold it up: look at it.")
    assert check.given == {"ring-missing": {"bent": 0.05, "gone": 0.93}}
    assert loaded.cases["no-ring"].expect.cause == "ring-missing"
