"""Rows that no car can use."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines


def test_a_check_for_another_gate(tmp_path: Path) -> None:
    given = "{hose-off: {bad: .9}, ring-missing: {bad: .9}}"
    files = {"checks/glance.yaml": check(given=given, more="  needs: [internal-gate]\n")}
    assert lines("excluded-cause", tmp_path, files) == [
        "checks/glance.yaml:7:32: no car that can do this check can have 'ring-missing'; see their"
        " 'needs'"
    ]


def test_shown_by_a_check_that_its_cars_cannot_do(tmp_path: Path) -> None:
    needs = "  needs: [internal-gate]\n"
    files = {
        "checks/glance.yaml": check(more=needs.replace("internal", "external")),
        "causes/late.yaml": cause(
            "as-designed:late", more=f"  danger: none\n  shown-by: {{glance: [bad]}}\n{needs}"
        ),
    }
    assert lines("excluded-cause", tmp_path, files) == [
        "causes/late.yaml:10:14: no car that can have this can do 'glance'; see their 'needs'"
    ]


def test_a_check_that_some_of_its_cars_can_do_is_fine(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(given="{ring-missing: {bad: .9}}")}
    assert lines("excluded-cause", tmp_path, files) == []
