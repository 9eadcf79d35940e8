"""Causes that no story proves."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import cause, lines

CASE = """\
it-leaks:
  title: It leaks
  setup: external
  symptoms: [lazy]
  answers: {light: dark}
  expect: {cause: leak}
  basis: invented
"""


OTHER = CASE.replace("{cause: leak}", "{cause: hose-off}").replace("it-leaks", "another")


@pytest.mark.parametrize("others", [{}, {"some.cases.yaml": OTHER}])
def test_a_cause_without_a_case_is_shown(others: dict[str, str], tmp_path: Path) -> None:
    files = {"causes/leak.yaml": cause(), **others}
    assert lines("no-case", tmp_path, files) == [
        "causes/leak.yaml:1:1: no known case ends at 'leak'; write one into a *.cases.yaml"
    ]


def test_a_case_that_ends_at_it_is_enough(tmp_path: Path) -> None:
    files = {"causes/leak.yaml": cause(), "causes/leak.cases.yaml": CASE}
    assert lines("no-case", tmp_path, files) == []


def test_a_case_that_must_never_name_it_is_not(tmp_path: Path) -> None:
    other = CASE.replace("{cause: leak}", "{cause: hose-off, never: [leak]}")
    files = {"causes/leak.yaml": cause(), "causes/leak.cases.yaml": other}
    assert len(lines("no-case", tmp_path, files)) == 1
