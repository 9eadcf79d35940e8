"""Two spellings side by side."""

from __future__ import annotations

from pathlib import Path

from expert.rules.mixed_spelling import DOUBLES
from tests.rules.bench import lines


def test_the_rarer_spelling_is_shown(tmp_path: Path) -> None:
    two = "a: {title: a grey lamp}\nb: {title: colour chart}\nc: {title: Gray box}\n"
    message = "found 'gray'; other texts spell such words as 'grey'"
    assert lines("mixed-spelling", tmp_path, {"tools.yaml": two}) == [f"tools.yaml:3:12: {message}"]
    two = "a: {title: a gray lamp}\nb: {title: color chart}\nc: {title: Grey box}\n"
    message = "found 'grey'; other texts spell such words as 'gray'"
    assert lines("mixed-spelling", tmp_path, {"tools.yaml": two}) == [f"tools.yaml:3:12: {message}"]


def test_one_spelling_throughout_is_fine(tmp_path: Path) -> None:
    one = "a: {title: a gray lamp}\nb: {title: color chart}\n"
    assert lines("mixed-spelling", tmp_path, {"tools.yaml": one}) == []


def test_doubles_are_pairs_of_different_words() -> None:
    assert len({*DOUBLES, *DOUBLES.values()}) == 2 * len(DOUBLES)
