"""What calibrate prints."""

from __future__ import annotations

import json

from expert.workbench.calibrate import SETTINGS, calibrations
from expert.workbench.calibrate_report import calibrate_json, lines
from tests.small import knowledge

FOUND = calibrations(knowledge(), 200, 3)


def test_the_text_has_a_line_for_each_setting_and_each_bin() -> None:
    text = list(lines(FOUND))
    assert text[0] == "200 invented cars in each setting."
    for setting, line, one in zip(SETTINGS, text[2:], FOUND, strict=False):
        assert line.startswith(setting.name)
        assert f"{one.log:.4f}" in line
        assert f"{one.first_error:.4f}" in line
    assert sum(" stated " in line for line in text) >= len(FOUND[0].bins)
    assert all(len(line) <= 100 for line in text)


def test_the_object_holds_the_same() -> None:
    made = json.loads(json.dumps(calibrate_json(FOUND, 3)))
    assert (made["format"], made["seed"]) == (1, 3)
    assert [one["name"] for one in made["settings"]] == [setting.name for setting in SETTINGS]
    assert made["settings"][-1]["faults"] == 3
    assert made["settings"][0]["faults"] is None
    assert made["settings"][0]["first_error"] == FOUND[0].first_error
    assert sum(one["count"] for one in made["settings"][0]["bins"]) == 200
