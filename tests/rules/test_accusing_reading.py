"""A log that can accuse but not clear."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import check, lines

HIGH = """\
high:
  check: glance
  answer: bad
  when: {peak-boost-kpa: {above: 90}}
  basis: invented
"""
LOW = HIGH.replace("high:", "low:").replace("bad", "good").replace("above", "up-to")
SYMPTOM = "seen:\n  symptom: lazy\n  when: {peak-boost-kpa: {above: 90}}\n  basis: invented\n"


def test_only_the_worse_answer(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(), "readings.yaml": HIGH}
    assert lines("accusing-reading", tmp_path, files) == [
        "readings.yaml:1:1: a log can answer 'glance', but never with 'good'; "
        "add a reading for that"
    ]


def test_both_answers_and_symptoms_are_fine(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(), "readings.yaml": HIGH + LOW + SYMPTOM}
    assert lines("accusing-reading", tmp_path, files) == []
