"""Entries that no car has."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines


def test_two_parts_that_no_setup_has_together(tmp_path: Path) -> None:
    files = {
        "causes/leak.yaml": cause(more="  danger: none\n  needs: [internal-gate, external-gate]\n"),
        "checks/glance.yaml": check(more="  needs: [internal-gate, external-gate]\n"),
    }
    message = "no setup has all of these parts, with any gate and bypass"
    assert lines("no-car", tmp_path, files) == [
        f"causes/leak.yaml:10:3: {message}",
        f"checks/glance.yaml:4:3: {message}",
    ]


def test_a_gate_and_a_bypass_to_choose_count(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(more="  needs: [internal-gate, blow-off]\n")}
    assert lines("no-car", tmp_path, files) == []
