"""Checks and rows that change nothing."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import check, lines

# An answer that nothing at all makes use of is refused before any rule looks.
TREE = {
    "symptoms/whistle.yaml": (
        "title: Whistles\nwhat: A whistle.\ndanger: none\ncauses: {hose-off: probable}\n"
        "tree: {check: glance, then: {bad: {suspect: [hose-off]}}}\nbasis: invented\n"
    )
}


def test_a_check_that_names_no_cause(tmp_path: Path) -> None:
    files = {**TREE, "checks/glance.yaml": check(given="{}")}
    assert lines("idle-check", tmp_path, files) == [
        "checks/glance.yaml:1:1: no cause is named in 'given', so no answer changes the ranking"
    ]


def test_a_dangerous_answer_is_reason_enough_to_ask(tmp_path: Path) -> None:
    files = {**TREE, "checks/glance.yaml": check(given="{}", more="  danger: {bad: stop}\n")}
    assert lines("idle-check", tmp_path, files) == []


def test_a_row_far_below_sound_cars(tmp_path: Path) -> None:
    given = "{hose-off: {bad: .9}, ring-missing: {bad: .01}}"
    files = {"checks/glance.yaml": check(healthy="{bad: .1}", given=given)}
    assert lines("idle-check", tmp_path, files) == [
        "checks/glance.yaml:6:32: a car with 'ring-missing' answers hardly otherwise than a sound"
        " one; raise a share, or leave the row out"
    ]


def test_a_row_as_large_as_sound_cars_still_says_something(tmp_path: Path) -> None:
    # What comes from the cause adds to what a sound car shows.
    files = {"checks/glance.yaml": check(healthy="{bad: .1}", given="{hose-off: {bad: .1}}")}
    assert lines("idle-check", tmp_path, files) == []
