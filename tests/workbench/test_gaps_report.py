"""The report of gaps: ``expert/workbench/gaps_report.py``."""

from __future__ import annotations

import json

import pytest

from expert.rules.ids import GAPS
from expert.workbench.gaps import Gap
from expert.workbench.gaps_report import gap_lines, gaps_json

APART, NEVER_FOUND, NEVER_CHOSEN, SAME, IMPLIED = GAPS
PAIR = Gap(APART, "cause", ("a", "b"), "look", 1.25, ("one",))


def test_a_pair_with_its_best_check_and_its_cars() -> None:
    lines = gap_lines([PAIR], ["one", "two"])
    assert lines[0] == "Causes that no check tells apart [no-telling-apart]"
    assert lines[1].split() == ["a", "/", "b", "best", "look,", "1.2", "dB"]
    assert lines[2].strip() == "on one"
    assert lines[-1] == "1 gap, 1 of them not explained in the files."


def test_every_setup_and_an_excuse() -> None:
    gap = Gap(APART, "cause", ("a", "b"), "look", 1.25, ("two", "one"), "One repair mends both.")
    lines = gap_lines([gap], ["one", "two"])
    assert "on every setup" in lines[2]
    assert "explained: One repair mends both." in lines[3]
    assert lines[-1] == "1 gap, 0 of them not explained in the files."


@pytest.mark.parametrize(
    ("gap", "words"),
    [
        (Gap(NEVER_FOUND, "cause", ("a",), None, 0.31, ("one",)), "at most 0.31"),
        (Gap(NEVER_CHOSEN, "check", ("c",), None, 4.0, ("one",)), "tells 4.0 dB at most"),
        (Gap(SAME, "symptom", ("s", "t"), None, 0.02, ("one",)), "shares differ by 0.02 at most"),
        (Gap(IMPLIED, "cause", ("a",), "look", 4.0, ()), "see look"),
    ],
)
def test_each_kind_says_what_was_measured(gap: Gap, words: str) -> None:
    assert words in gap_lines([gap], ["one"])[1]


def test_without_gaps() -> None:
    assert gap_lines([], ["one"]) == ["No gaps."]


def test_the_same_as_json() -> None:
    one = gaps_json([PAIR])
    assert json.loads(json.dumps(one)) == one
    assert one["unexplained"] == 1
    assert one["gaps"][0]["ids"] == ["a", "b"]
