"""Titles and questions that stand twice."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines


def test_the_second_is_shown_whatever_its_marks(tmp_path: Path) -> None:
    files = {"tools.yaml": "a: {title: A torch}\nb: {title: a  torch.}\nc: {title: two torches}\n"}
    assert lines("duplicate-text", tmp_path, files) == [
        "tools.yaml:2:12: the tool 'a' has the same title; say how they differ"
    ]


def test_questions_as_well(tmp_path: Path) -> None:
    files = {"checks/two.yaml": check() + check("glimpse")}
    assert lines("duplicate-text", tmp_path, files) == [
        "checks/two.yaml:9:8: the check 'glance' has the same ask; say how they differ"
    ]


def test_two_kinds_may_share_a_title(tmp_path: Path) -> None:
    files = {"tools.yaml": "a: {title: A leak}\n", "causes/leak.yaml": cause(title="A leak")}
    assert lines("duplicate-text", tmp_path, files) == []


def test_causes_that_no_car_can_have_both_of_may_share_one(tmp_path: Path) -> None:
    outer = cause(more="  needs: [external-gate]\n  danger: none\n")
    inner = cause("drip", more="  needs: [internal-gate]\n  danger: none\n")
    assert lines("duplicate-text", tmp_path, {"causes/two.yaml": outer + inner}) == []
    both = outer + inner + cause("seep")
    assert lines("duplicate-text", tmp_path, {"causes/two.yaml": both}) == [
        "causes/two.yaml:24:10: the cause 'leak' has the same title; say how they differ"
    ]
