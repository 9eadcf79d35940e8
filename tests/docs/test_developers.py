"""DEVELOPERS.md against the source: layers, examples, the steps for a rule and an event."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from expert import __version__
from expert.case import events
from expert.errors import KnowledgeError
from expert.export import report
from expert.loading.folder import load, shipped_folder
from expert.loading.linking.checks import check_checks
from expert.loading.linking.context import Context
from expert.rules.registry import BY_ID
from expert.rules.rule import Rule
from expert.ui import show_case
from expert.workbench.check import checked
from tests.docs.pages import DEVELOPERS, ROOT, Block, blocks, code, rows, section, text_of
from tests.rules.bench import folders
from tests.test_layers import LAYERS


def written() -> list[Block]:
    """The example entries of the page."""
    return [block for block in blocks(text_of(DEVELOPERS)) if block.mark.startswith("write ")]


def overlay(folder: Path, changes: Callable[[str], str] = str) -> Path:
    for block in written():
        path = folder / block.mark.removeprefix("write ")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(changes(block.text), encoding="utf-8")
    return folder


def test_layers_are_those_of_the_test() -> None:
    table = {code(row[1])[0]: int(row[0]) for row in rows(section(DEVELOPERS, "## The house"))}
    package = ROOT / "expert"
    there = {path.stem for path in package.glob("*.py") if path.stem != "__init__"}
    there |= {path.parent.name for path in package.glob("*/__init__.py")}
    assert table == {name: LAYERS[name] for name in there}


def test_modules_named_for_a_package_exist() -> None:
    lines = section(DEVELOPERS, "## The house").split("\n- ")[1:]
    assert len(lines) >= 8
    for line in lines:
        package, *modules = code(line.split("\n\n")[0])
        for module in modules:
            if module == "unlisted":
                continue
            path = ROOT / package / module.rstrip("/")
            found = (
                path.with_suffix(".py").is_file()
                or path.is_dir()
                or (module in {"show"} and list((ROOT / package).glob("show*.py")))
                or module in {"draw", "rank"}
            )
            assert found, f"{package}: {module}"


def test_the_examples_load_as_they_stand(tmp_path: Path) -> None:
    assert [block.mark.split("/")[0] for block in written()] == [
        "write causes",
        "write checks",
        "write symptoms",
    ]
    knowledge = load([shipped_folder(), overlay(tmp_path)])
    assert "sensor-seal-leaks" in knowledge.causes
    assert "sensor-bubbles" in knowledge.checks
    assert "whistle" in knowledge.symptoms


def test_the_rule_of_the_page_points_at_its_mistake(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (rule,) = [block.text for block in blocks(text_of(DEVELOPERS)) if block.mark == "python"]
    names: dict[str, Callable[[Context], None]] = {}
    exec(compile(rule, str(DEVELOPERS), "exec"), names)

    def both(context: Context) -> None:
        check_checks(context)
        names["check_minutes"](context)

    monkeypatch.setattr("expert.loading.link.check_checks", both)
    load([shipped_folder(), overlay(tmp_path / "fine")])
    slow = overlay(tmp_path / "slow", lambda text: text.replace("minutes: 3", "minutes: 300"))
    with pytest.raises(KnowledgeError) as caught:
        load([shipped_folder(), slow])
    (mistake,) = caught.value.mistakes
    assert mistake.message == "found 300 minutes; expected at most 240, so split the check"
    lines = (slow / "checks" / "sensor.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[mistake.place.line - 1][mistake.place.column - 1 :] == "300"


def test_the_lint_rule_of_the_page_finds_its_example(tmp_path: Path) -> None:
    (text,) = [block.text for block in blocks(text_of(DEVELOPERS)) if block.mark == "python rule"]
    names: dict[str, Any] = {}
    exec(compile(text, str(DEVELOPERS), "exec"), names)
    rule: Rule = names["RULE"]
    assert rule.id not in BY_ID
    found = checked(folders(tmp_path / "wrong", rule.wrong), [rule]).findings
    assert [one.message for one in found] == ["found 6 tools; expected at most 5"]
    assert (found[0].place.line, found[0].place.column, found[0].severity) == (3, 3, "warning")
    right = checked(folders(tmp_path / "right", rule.right), [rule])
    assert right.knowledge is not None
    assert right.findings == ()


def test_what_the_page_says_of_rules_is_there() -> None:
    text = section(DEVELOPERS, "## Add a rule for what is unwise")
    for name in ("words", "trees", "evidence"):
        assert f"`rules/{name}`" in text
        assert (ROOT / "expert" / "rules" / f"{name}.py").is_file()


def test_what_an_event_needs_is_where_the_page_says() -> None:
    text = section(DEVELOPERS, "## Add a journal event")
    for name in ("Event", "NAMES", "_READERS", "EventError", "FORMAT"):
        assert f"`{name}`" in text
        assert hasattr(events, name)
    assert "`told`" in text
    assert callable(show_case.told)
    assert events.FORMAT == report.FORMAT == 1


def test_the_tag_of_the_example_is_a_version() -> None:
    assert f"git tag v{__version__}" in text_of(DEVELOPERS)
