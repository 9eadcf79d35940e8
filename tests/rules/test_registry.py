"""All rules: their ids, and the examples that document them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from expert.rules.ids import FORM, GAPS, IDLE_EXCUSE
from expert.rules.registry import BY_ID, RULES
from expert.rules.rule import Rule
from expert.workbench.check import checked
from tests.rules.bench import findings, folders


def test_ids_are_ids_and_stand_once() -> None:
    ids = [rule.id for rule in RULES]
    assert len({*ids, *GAPS, FORM}) == len(ids) + len(GAPS) + 1
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", name) for name in [*ids, *GAPS, FORM])
    assert list(BY_ID) == ids
    assert ids[-1] == IDLE_EXCUSE


def test_every_module_of_a_rule_is_registered() -> None:
    folder = Path(__file__).parents[2] / "expert" / "rules"
    with_rule = {
        path.stem.replace("_", "-")
        for path in folder.glob("*.py")
        if re.search(r"^RULE = Rule\(|^def rule\(", path.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert with_rule == set(BY_ID)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_the_wrong_example_is_found_and_the_right_one_is_fine(rule: Rule, tmp_path: Path) -> None:
    # An excuse is idle only where all other rules have looked.
    run = RULES if rule.after_all else [rule]
    for name, files, wanted in (("wrong", rule.wrong, True), ("right", rule.right, False)):
        found = checked(folders(tmp_path / name, files), run)
        assert found.knowledge is not None, found.findings
        here = [
            one
            for one in found.findings
            if one.rule == rule.id
            and one.place.file.removeprefix(f"{tmp_path / name}/ours/") in files
        ]
        assert bool(here) == wanted, (name, here)
        assert all(one.severity == rule.severity for one in here)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_summaries_are_short_and_reasons_are_sentences(rule: Rule) -> None:
    assert len(rule.summary) <= 100
    assert not rule.summary.endswith(".")
    assert rule.summary[0].islower() or rule.summary.startswith("American")
    assert rule.why.endswith(".")


def test_the_examples_are_whole_files() -> None:
    for rule in RULES:
        assert rule.wrong
        assert rule.right
        assert rule.wrong != rule.right
        assert set(rule.wrong) <= set(rule.right)


def test_a_rule_finds_nothing_in_files_that_are_not_asked_about(tmp_path: Path) -> None:
    assert findings("trailing-blanks", tmp_path, {"notes.md": "blanks  \n"}) == []
