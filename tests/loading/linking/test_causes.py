"""Causes that do not fit: ``expert/loading/linking/causes.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import edited, mistakes_in

FILE = "causes/all.yaml"


@pytest.mark.parametrize(
    ("old", "new", "report"),
    [
        (
            "  harm: overpressure\n",
            "",
            "17:11: a stop cause does harm; add 'harm:' overpressure or mechanical",
        ),
        (
            "  danger: caution",
            "  danger: caution\n  harm: mechanical",
            "8:3: harm belongs to a stop cause; the danger here is caution",
        ),
        (
            "  shown-by: {spring-run: [late]}\n",
            "",
            "24:1: an as-designed cause is only named on evidence; add 'shown-by:' with a check"
            " and its answers",
        ),
        (
            "  shown-by: {spring-run: [late]}\n",
            "  shown-by: {spring-run: [latest]}\n",
            "29:27: of the check 'spring-run', the answer 'latest' is not known;"
            " did you mean 'late'?",
        ),
        (
            "  shown-by: {spring-run: [late]}\n",
            "  shown-by: {spring-run: []}\n",
            "29:14: no answer is named here; name one or more",
        ),
        (
            "  danger: caution",
            "  danger: caution\n  shown-by: {light: [ring]}",
            "8:3: 'shown-by' belongs to causes whose id begins with as-designed:",
        ),
        (
            "  work: [gate]",
            "  work: [gate, hose]",
            "5:16: the area 'hose' is not known; did you mean 'hoses'?",
        ),
    ],
)
def test_what_does_not_fit(old: str, new: str, report: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(FILE, old, new)) == [f"{FILE}:{report}"]


def test_without_the_check_of_what_was_worked_on_areas_are_free(tmp_path: Path) -> None:
    files = {
        **edited(FILE, "  work: [gate]", "  work: [gate, hose]"),
        **edited("checks/all.yaml", "worked-on:", "worked-over:"),
    }
    assert mistakes_in(tmp_path, files) == []
