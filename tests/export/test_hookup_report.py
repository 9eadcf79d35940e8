"""The verdict on a plumbing as JSON: ``expert/export/hookup_report.py``."""

from __future__ import annotations

import json

from expert.export.hookup_report import expectation_report, hookup_report
from tests.evidence.hookup.rigs import judged, shipped

SWAPPED = (
    "housing-nipple.nipple=three-port.normally-closed",
    "three-port.normally-open=inlet-pipe.tap",
)


def test_a_plumbing_with_source_and_vent_swapped() -> None:
    one = hookup_report(shipped(), "internal-nipple", judged("internal-nipple", *SWAPPED), True)
    assert json.loads(json.dumps(one)) == one
    assert (one["format"], one["setup"], one["ok"]) == (1, "internal-nipple", False)
    assert one["gate_kpa"]["0"] == 0.0
    assert one["gate_kpa"]["100"] == one["source_kpa"] == 100.0
    assert one["boost_kpa"]["0"] is None
    assert one["unlimited"] == {"0": True, "50": False, "100": False}
    assert one["symptoms"]["0"] == ["overboost"]
    assert one["drive"] == "stop"
    assert one["findings"] == [{"check": "hose-trace", "answers": ["source-vent-crossed"]}]
    assert len(one["moves"]) == 1
    assert {wrong["port"] for wrong in one["wrong"]} == {
        *(f"three-port.normally-{end}" for end in ("open", "closed")),
        *("housing-nipple.nipple", "inlet-pipe.tap"),
    }


def test_without_a_spring_no_boost_is_told() -> None:
    one = hookup_report(shipped(), "internal-nipple", judged("internal-nipple"), False)
    assert one["ok"]
    assert set(one["boost_kpa"].values()) == {None}
    assert one["unlimited"] == {"0": False, "50": False, "100": True}


def test_an_expectation_has_the_format() -> None:
    assert expectation_report({"a": 1}) == {"format": 1, "a": 1}
