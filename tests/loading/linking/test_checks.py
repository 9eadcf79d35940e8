"""Checks that do not fit: ``expert/loading/linking/checks.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import edited, mistakes_in

FILE = "checks/all.yaml"
LOW, BOTH = "  low: [late, below]\n", "  both: {below: .7, above: .3}"
GIVEN, EDGES = "{ring: almost-certain, crescent: .05}", "up-to: {below: -14, spring: 20}"
FLAGS = "answers: {none: none, knock: a knock, smell: a smell}"
ONE_HEALTHY = "a two-sided check has one healthy answer, which is neither low nor high; found"
BOTH_WANTED = "expected what is read when a low and a high fault are both there, summing to 1"


@pytest.mark.parametrize(
    ("old", "new", "reports"),
    [
        (
            "  danger: {knock: stop}",
            "  danger: {knock: stop, knok: stop}",
            ["12:25: the answer 'knok' is not known; did you mean 'knock'?"],
        ),
        (
            "  danger: {knock: stop}",
            "  danger: {knock: stop}\n  says: {knok: [it knocks]}",
            ["13:10: the answer 'knok' is not known; did you mean 'knock'?"],
        ),
        (
            "  danger: {knock: stop}",
            "  danger: {knock: stop}\n  hands-off: [knock, knok]",
            ["13:22: the answer 'knok' is not known; did you mean 'knock'?"],
        ),
        ("hoses: the hoses}", "hoses: the hoses}\n  low: [gate]", ["6:3: 'low' belongs to a two"]),
        (LOW, "", ["32:1: a two-sided check names its low answers; add 'low:'"]),
        ("  high: [above]\n", "", ["32:1: a two-sided check names its high answers; add 'high:'"]),
        (LOW, "  low: [late]\n", [f"41:3: {ONE_HEALTHY} below, spring"]),
        (LOW, "  low: [late, below, spring]\n", [f"41:3: {ONE_HEALTHY} none"]),
        (
            LOW,
            "  low: [late, below, beneath]\n",
            ["35:22: the answer 'beneath' is not known; expected one of below, spring, late, abo"],
        ),
        (
            "  high: [above]",
            "  high: [above, late]",
            ["36:17: 'late' is a low answer already; expected it in one of the two"],
        ),
        (BOTH, "  both: {below: .7, above: .2}", [f"37:3: these sum to 0.9; {BOTH_WANTED}"]),
        (BOTH, "  both: {below: .7, above: .4}", [f"37:3: these sum to 1.1; {BOTH_WANTED}"]),
        (BOTH + "\n", "", [f"32:1: 'both' is missing; {BOTH_WANTED}"]),
        (
            BOTH,
            "  both: {below: .7, abov: .3}",
            ["37:21: the answer 'abov' is not known; did you mean 'above'?"],
        ),
        (
            "  kind: two-sided",
            "  kind: graded",
            [
                "35:3: 'low' belongs to a two-sided check; this one is graded",
                "36:3: 'high' belongs to a two-sided check; this one is graded",
                "37:3: 'both' belongs to a two-sided check; this one is graded",
                "48:20: 'below' is the healthy answer, which has what the others leave; delete it",
            ],
        ),
        (
            "  kind: nominal",
            "  kind: history",
            ["13:3: a history check is no evidence and has no 'given'; delete it"],
        ),
        (
            "  kind: nominal",
            "  kind: nominal\n  several: true",
            ["10:3: 'several' belongs to a history check; this one is nominal"],
        ),
        # .93 + .08, more than all cars with the cause.
        (
            GIVEN,
            "{ring: almost-certain, crescent: .08}",
            ["30:5: these sum to 1.01; expected at most 1"],
        ),
        (
            GIVEN,
            "{ring: .9, crescent: .05, dark: .05}",
            ["30:45: 'dark' is the healthy answer, which has what the others leave; delete it"],
        ),
        (
            GIVEN,
            "{ring: .9, crescent: .05, cresent: .01}",
            ["30:45: the answer 'cresent' is not known; did you mean 'crescent'?"],
        ),
        (
            "  healthy: {crescent: .01}",
            "  healthy: {crescent: .6, ring: .6}",
            ["28:3: these sum to 1.2; expected at most 1"],
        ),
        (
            "  healthy: {crescent: .01}",
            "  healthy: {dark: .99}",
            ["28:13: 'dark' is the healthy answer, which has what the others leave; delete it"],
        ),
        (
            "{below: .7, late: .2}",
            "{below: .7, late: .4}",
            ["48:5: these sum to 1.1; expected at most 1"],
        ),
        (
            EDGES,
            "up-to: {below: -14, spring: -14}",
            ["53:33: the edge -14 is not over -14; expected rising edges"],
        ),
        (
            EDGES,
            "up-to: {bellow: -14, spring: 20}",
            ["53:13: the answer 'bellow' is not known; did you mean 'below'?"],
        ),
        (
            "    above: above\n  basis",
            "    above: far\n  basis",
            ["54:12: the answer 'far' is not known; expected one of below, spring, late, above"],
        ),
        (
            "    above: above\n  basis",
            "    above: below\n  basis",
            ["54:12: 'below' has an upper edge already; expected another answer"],
        ),
    ],
)
def test_what_does_not_fit(old: str, new: str, reports: list[str], tmp_path: Path) -> None:
    found = mistakes_in(tmp_path, edited(FILE, old, new))
    assert len(found) == len(reports)
    for report, expected in zip(found, reports, strict=True):
        assert report.startswith(f"{FILE}:{expected}")


def test_one_answer_is_too_few(tmp_path: Path) -> None:
    files = edited(FILE, FLAGS, "answers: {none: none}")
    assert f"{FILE}:11:3: expected at least two answers" in mistakes_in(tmp_path, files)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        # Each channel of a two-sided check, and each flag of a nominal one, sums for itself.
        ("{below: .7, late: .2}", "{below: .7, late: .3, above: .9}"),
        ("    hose-off: {smell: .6}", "    hose-off: {smell: .6, knock: .9}"),
        # .7 + .2 + .1 is not 1 in binary fractions.
        (GIVEN, "{ring: .8, crescent: .2}"),
        (BOTH, "  both: {below: .7, above: .1, late: .1, spring: .1}"),
        (GIVEN, "{ring: almost-certain, crescent: almost-certainly-not}"),
        (EDGES, "up-to: {below: -14.5, spring: -14}"),
    ],
)
def test_what_fits(old: str, new: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(FILE, old, new)) == []
