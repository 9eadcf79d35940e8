"""Excuses that name no rule or excuse nothing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from expert.rules.registry import BY_ID, RULES
from expert.rules.rule import Rule
from expert.workbench.check import checked
from tests.rules.bench import cause, folders


def _found(tmp_path: Path, excuses: str, rules: Sequence[Rule] = RULES) -> list[str]:
    text = cause(more=f"  danger: none\n  excused:\n{excuses}")
    folder = folders(tmp_path, {"causes/leak.yaml": text})
    return [
        f"{one.place.line}:{one.place.column}: {one.message}"
        for one in checked(folder, rules).findings
        if one.rule == "idle-excuse"
    ]


def test_an_excuse_that_names_no_rule(tmp_path: Path) -> None:
    excuses = "    no-cases: It is new.\n    what-is-this: Nobody knows.\n"
    assert _found(tmp_path, excuses) == [
        "11:5: no rule and no gap is called 'no-cases'; did you mean 'no-case'?",
        "12:5: no rule and no gap is called 'what-is-this'; see docs/rules.md",
    ]


def test_an_excuse_that_nothing_needs(tmp_path: Path) -> None:
    assert _found(tmp_path, "    long-text: It is a long story.\n") == [
        "11:5: the rule 'long-text' finds nothing here; delete the excuse"
    ]


def test_an_excuse_that_is_needed_is_fine_and_is_kept(tmp_path: Path) -> None:
    excuse = "    unconfirmed: It is new.\n"
    assert _found(tmp_path / "one", excuse) == []
    text = cause(more=f"  danger: none\n  excused:\n{excuse}")
    found = checked(folders(tmp_path / "two", {"causes/leak.yaml": text}), RULES)
    assert [one.reason for one in found.excused] == ["It is new."]
    assert not [
        one
        for one in found.findings
        if one.entry == ("cause", "leak") and one.rule == "unconfirmed"
    ]


def test_gaps_and_rules_that_did_not_run_are_not_judged(tmp_path: Path) -> None:
    excuses = "    never-found: It is rare.\n    long-text: It is long.\n"
    assert _found(tmp_path, excuses, [BY_ID["idle-excuse"], BY_ID["no-car"]]) == []
