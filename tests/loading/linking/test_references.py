"""Ids that nothing has: ``expert/loading/linking/references.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import edited, mistakes_in

CAUSES, CHECKS, SYMPTOM = "causes/all.yaml", "checks/all.yaml", "symptoms/lazy.yaml"


@pytest.mark.parametrize(
    ("file", "old", "new", "report"),
    [
        (
            CAUSES,
            "  needs: [external-gate]",
            "  needs: [external-gat]",
            "4:11: the part 'external-gat' is not known; did you mean 'external-gate'?",
        ),
        (
            CAUSES,
            "  confirm: Look for it.",
            "  confirm: Look for it.\n  cautions: [hot-part]",
            "9:14: the caution 'hot-part' is not known; did you mean 'hot-parts'?",
        ),
        (
            CAUSES,
            "shown-by: {spring-run",
            "shown-by: {spring-runs",
            "29:14: the check 'spring-runs' is not known; did you mean 'spring-run'?",
        ),
        (
            CHECKS,
            "  prepare: [gate-off]",
            "  prepare: [gates-off]",
            "20:13: the preparation 'gates-off' is not known; did you mean 'gate-off'?",
        ),
        (
            CHECKS,
            "  tools: [lamp]",
            "  tools: [lamp, torch]",
            "21:17: the tool 'torch' is not known; expected one of lamp",
        ),
        (
            CHECKS,
            "    hose-off: {smell: .6}",
            "    hose-off: {smell: .6}\n    hose-of: {smell: .6}",
            "15:5: the cause 'hose-of' is not known; did you mean 'hose-off'?",
        ),
        (
            SYMPTOM,
            "  hose-off: .1",
            "  hose-on: .1",
            "6:3: the cause 'hose-on' is not known; did you mean 'hose-off'?",
        ),
        (
            SYMPTOM,
            "    check: light",
            "    check: lights",
            "22:12: the check 'lights' is not known; did you mean 'light'?",
        ),
        (
            SYMPTOM,
            "spring: {suspect: [as-designed:large]}",
            "spring: {suspect: [as-designed:larg]}",
            "17:32: the cause 'as-designed:larg' is not known; did you mean 'as-designed:large'?",
        ),
        (
            "setups/manual.yaml",
            "gates: [internal-gate,",
            "gates: [inner-gate,",
            "4:9: the part 'inner-gate' is not known; did you mean 'internal-gate'?",
        ),
        (
            "preparations.yaml",
            "cautions: [hot-parts]",
            "cautions: ['']",
            "4:14: the caution is missing here; expected one of hot-parts",
        ),
    ],
)
def test_unknown_ids(file: str, old: str, new: str, report: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(file, old, new)) == [f"{file}:{report}"]


def test_kinds_with_a_lost_file_are_left_out(tmp_path: Path) -> None:
    reports = mistakes_in(tmp_path, {"causes/all.yaml": "ring-missing: [\n"})
    assert reports == ["causes/all.yaml:1:16: something is missing here"]
