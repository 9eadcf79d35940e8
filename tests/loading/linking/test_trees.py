"""Trees: ``expert/loading/linking/trees.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import SMALL, edited, mistakes_in

FILE = "symptoms/lazy.yaml"
LAST, RUN = "      otherwise: {subtree: run}", "      below: {suspect: [ring-missing]}"
GATE = "        external-gate: gate\n"
NOT_ON_MANUAL = (
    "22:12: 'light' needs the part 'external-gate', which a car with the setup manual, gate"
    " internal-gate does not have; ask it under 'has: external-gate:'"
)


@pytest.mark.parametrize(
    ("old", "new", "report"),
    [
        (
            "    none:\n",
            "    non:\n",
            "11:5: of the check 'flags', the answer 'non' is not known; did you mean 'none'?",
        ),
        (
            "      ring: {suspect",
            "      rings: {suspect",
            "24:7: of the check 'light', the answer 'rings' is not known; did you mean 'ring'?",
        ),
        (
            "        otherwise:\n          check",
            "        blow-of:\n          check",
            "14:9: the part 'blow-of' is not known; did you mean 'blow-off'?",
        ),
        (
            LAST,
            "      otherwise: {subtree: runs}",
            "25:28: the subtree 'runs' is not known; did you mean 'run'?",
        ),
        (
            LAST,
            "      otherwise: runs",
            "25:18: the subtree 'runs' is not known; did you mean 'run'?",
        ),
        (
            LAST,
            "      otherwise: run\n      dark: gate",
            "26:13: the tree never ends: the subtree 'gate' leads back to itself",
        ),
        (RUN, "      below: gate", "29:14: the tree never ends: the subtree 'gate' leads back to"),
        (
            LAST,
            "      dark: {suspect: [hose-off]}",
            "26:3: no tree leads to the subtree 'run'; use it or delete it",
        ),
        (
            LAST,
            "      dark: run\n      crescent: run\n      otherwise: run",
            "27:7: every answer has a branch of its own, so this one is never taken",
        ),
        (
            "    otherwise: {suspect: [hose-off]}",
            "    otherwise: {suspect: []}",
            "19:17: nothing is suspected here; name a cause, or leave the branch out",
        ),
        (RUN, "      {}", "28:5: no branch follows; expected answers with what to do then"),
        (
            "      below: {suspect: [ring-missing]}",
            "      below: {has: {}}",
            "29:15: no branch follows; expected parts with what to do then",
        ),
        # Every car has a manifold, so those without the external gate come to the lamp too.
        (GATE, "        manifold: gate\n", NOT_ON_MANUAL),
        ("    otherwise: {suspect: [hose-off]}", "    otherwise: gate", NOT_ON_MANUAL),
        # The first part that the car has leads on, whatever comes after it.
        (
            GATE,
            "        internal-gate: gate\n        external-gate: gate\n",
            NOT_ON_MANUAL.replace("22:12", "23:12"),
        ),
    ],
)
def test_what_is_wrong_with_a_tree(old: str, new: str, report: str, tmp_path: Path) -> None:
    (found,) = mistakes_in(tmp_path, edited(FILE, old, new))
    assert found.startswith(f"{FILE}:{report}")


def test_every_unused_subtree_is_named(tmp_path: Path) -> None:
    files = edited(FILE, GATE, "        external-gate: {suspect: [hose-off]}\n")
    assert mistakes_in(tmp_path, files) == [
        f"{FILE}:21:3: no tree leads to the subtree 'gate'; use it or delete it"
    ]
    files = {FILE: files[FILE].replace(LAST, "      otherwise: {suspect: [hose-off]}")}
    assert mistakes_in(tmp_path, files) == [
        f"{FILE}:21:3: no tree leads to the subtree 'gate'; use it or delete it",
        f"{FILE}:26:3: no tree leads to the subtree 'run'; use it or delete it",
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (GATE, "        blow-off: {suspect: [hose-off]}\n" + GATE),
        # Cars with an internal gate leave the tree here.
        (GATE, GATE + "        internal-gate: {suspect: [hose-off]}\n"),
        (LAST, "      otherwise: run\n      unknown: run\n      dark: run"),
        (
            RUN,
            RUN + "\n      unknown: {suspect: [hose-off]}\n      otherwise: {suspect: [hose-off]}",
        ),
    ],
)
def test_trees_that_are_fine(old: str, new: str, tmp_path: Path) -> None:
    assert mistakes_in(tmp_path, edited(FILE, old, new)) == []


def test_without_all_setups_nothing_is_said_about_parts(tmp_path: Path) -> None:
    files = {
        **edited(FILE, GATE, "        manifold: gate\n"),
        "setups/manual.yaml": "title: [\n",
    }
    assert [report.split(":")[0] for report in mistakes_in(tmp_path, files)] == [
        "setups/manual.yaml"
    ]
    # A setup with a mistake of its own is left out, the others are looked at.
    files["setups/manual.yaml"] = SMALL["setups/manual.yaml"].replace("title: by hand", "title:")
    assert [report.split(":")[0] for report in mistakes_in(tmp_path, files)] == [
        "setups/manual.yaml"
    ]
