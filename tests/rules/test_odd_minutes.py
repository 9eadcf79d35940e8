"""Minutes out of proportion."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines


def test_too_many_and_too_few_are_shown(tmp_path: Path) -> None:
    files = {
        "checks/glance.yaml": check().replace("minutes: 3", "minutes: 300"),
        "causes/leak.yaml": cause().replace("minutes: 10", "minutes: .1"),
        "preparations.yaml": "gate-off: {title: Off, minutes: 481, basis: invented}\n",
    }
    assert lines("odd-minutes", tmp_path, files) == [
        "causes/leak.yaml:7:12: found 0.1 minutes; expected 1 to 4800",
        "checks/glance.yaml:3:12: found 300 minutes; expected 0.5 to 240",
        "preparations.yaml:1:33: found 481 minutes; expected 1 to 480",
    ]


def test_the_limits_themselves_are_fine(tmp_path: Path) -> None:
    files = {
        "checks/glance.yaml": check().replace("minutes: 3", "minutes: 240"),
        "causes/leak.yaml": cause().replace("minutes: 10", "minutes: 1"),
    }
    assert lines("odd-minutes", tmp_path, files) == []
