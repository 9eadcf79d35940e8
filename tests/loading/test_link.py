"""Mistakes across entries: ``expert/loading/link.py``."""

from __future__ import annotations

from pathlib import Path

from tests.loading.folders import SMALL, edited, mistakes_in

CAUSES, CHECKS, SYMPTOM = "causes/all.yaml", "checks/all.yaml", "symptoms/lazy.yaml"


def test_mistakes_of_all_topics_in_one_pass(tmp_path: Path) -> None:
    files = {
        **edited(CAUSES, "  harm: overpressure\n", ""),
        **edited(CHECKS, "  tools: [lamp]", "  tools: [lamps]"),
        **edited("setups/external.yaml", "manifold.tap", "manifold.tip"),
        SYMPTOM: SMALL[SYMPTOM]
        .replace("    check: light", "    check: lights")
        .replace("otherwise: {subtree: run}", "otherwise: runs"),
    }
    assert mistakes_in(tmp_path, files) == [
        "causes/all.yaml:17:11: a stop cause does harm; add 'harm:' overpressure or mechanical",
        "checks/all.yaml:21:11: the tool 'lamps' is not known; did you mean 'lamp'?",
        "setups/external.yaml:5:18: of the part 'manifold', the port 'tip' is not known;"
        " expected one of tap",
        "symptoms/lazy.yaml:22:12: the check 'lights' is not known; did you mean 'light'?",
        "symptoms/lazy.yaml:25:18: the subtree 'runs' is not known; did you mean 'run'?",
    ]


def test_what_follows_from_another_mistake_is_left_out(tmp_path: Path) -> None:
    # Without the kind, low and high would not fit, and the answers of the check would not either.
    files = edited(CHECKS, "kind: two-sided", "kind: two-side")
    assert mistakes_in(tmp_path, files) == [
        "checks/all.yaml:34:9: found the text 'two-side'; expected one of graded, two-sided,"
        " nominal, history; did you mean 'two-sided'?"
    ]


def test_references_of_an_entry_with_mistakes_are_checked_all_the_same(tmp_path: Path) -> None:
    files = edited(CHECKS, "  tools: [lamp]\n  minutes: 5", "  tools: [lamps]\n  minutes: 0")
    assert [report.split(": ")[0] for report in mistakes_in(tmp_path, files)] == [
        "checks/all.yaml:21:11",
        "checks/all.yaml:22:12",
    ]


def test_a_lost_file_hides_no_mistakes_in_others(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp: [\n", **edited(CAUSES, "  harm: overpressure\n", "")}
    assert mistakes_in(tmp_path, files) == [
        "causes/all.yaml:17:11: a stop cause does harm; add 'harm:' overpressure or mechanical",
        "tools.yaml:1:8: something is missing here",
    ]
