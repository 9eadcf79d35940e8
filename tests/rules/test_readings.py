"""What rules for readings share: ``expert/rules/readings.py``."""

from __future__ import annotations

from pathlib import Path

from expert.rules.readings import EXAMPLE, by_check, example
from tests.rules.bench import look

SYMPTOM = "seen:\n  symptom: lazy\n  when: {peak-boost-kpa: {above: 90}}\n  basis: invented\n"


def test_readings_by_their_check_without_those_of_symptoms(tmp_path: Path) -> None:
    readings = example("high", "above: 90") + SYMPTOM + example("right", "up-to: 90")
    files = {"checks/old.yaml": EXAMPLE, "readings.yaml": readings}
    knowledge = look("accusing-reading", tmp_path, files).knowledge
    assert knowledge is not None
    found = by_check(knowledge)
    assert list(found) == ["old-log"]
    assert [(name, one.answer) for name, one in found["old-log"]] == [
        ("log-high", "high"),
        ("log-right", "right"),
    ]
    assert found["old-log"][0][1].when["peak-boost-kpa"].above == 90
