"""Answers that nothing uses: ``expert/loading/linking/answers.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import SMALL, edited, mistakes_in

FILE = "checks/all.yaml"
FLAGS = "answers: {none: none, knock: a knock, smell: a smell}"
UNUSED = "and no tree branches on it; name it in 'given', or delete it"


@pytest.mark.parametrize(
    ("old", "new", "report"),
    [
        (
            FLAGS,
            "answers: {none: none, knock: a knock, smell: a smell, glow: a glow}",
            f"11:57: no cause gives the answer 'glow' {UNUSED}",
        ),
        (
            "  danger: {knock: stop}",
            "  danger: {knock: none}",
            f"11:25: no cause gives the answer 'knock' {UNUSED}",
        ),
        (
            "{ring: almost-certain, crescent: .05}",
            "{ring: almost-certain}",
            f"26:5: no cause gives the answer 'crescent' {UNUSED}",
        ),
        (
            "    hose-off: {above: certain}",
            "    hose-off: {}",
            f"45:5: no cause gives the answer 'above' {UNUSED}",
        ),
    ],
)
def test_answers_that_nothing_names(old: str, new: str, report: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(FILE, old, new)) == [f"{FILE}:{report}"]


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        # Named by a tree only, and by shown-by only.
        (FILE, "{ring: almost-certain, crescent: .05}", "{crescent: .05}"),
        (FILE, "{below: .7, late: .2}", "{below: .7}"),
        # The answers of a history check choose priors.
        (FILE, "hoses: the hoses}", "hoses: the hoses, map: the map}"),
        # A red flag.
        (FILE, "  danger: {knock: stop}", "  danger: {knock: caution}"),
    ],
)
def test_answers_that_are_named_elsewhere(file: str, old: str, new: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(file, old, new)) == []


@pytest.mark.parametrize("lost", ["causes/all.yaml", "symptoms/lazy.yaml"])
def test_nothing_is_said_when_a_file_is_lost(lost: str, tmp_path: Path) -> None:
    files = {
        **edited(FILE, "{ring: almost-certain, crescent: .05}", "{ring: almost-certain}"),
        lost: SMALL[lost] + "]\n",
    }
    assert {report.split(":")[0] for report in mistakes_in(tmp_path, files)} == {lost}
