"""Hoses and ports: ``expert/loading/linking/plumbing.py``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.loading.folders import edited, mistakes_in

SETUP, BYPASS = "setups/external.yaml", "bypasses/blow-off.yaml"
OPEN = "open: [external-gate.upper]"


@pytest.mark.parametrize(
    ("file", "old", "new", "report"),
    [
        (
            SETUP,
            "from: manifold.tap",
            "from: manifold.tip",
            "5:18: of the part 'manifold', the port 'tip' is not known; expected one of tap",
        ),
        (
            SETUP,
            "to: external-gate.lower",
            "to: external-gat.lower",
            "5:36: the part 'external-gat' is not known; did you mean 'external-gate'?",
        ),
        (
            SETUP,
            "from: manifold.tap",
            "from: blow-off.signal",
            "5:18: the part 'blow-off' is not one of the parts here; add it to them",
        ),
        (
            SETUP,
            "from: manifold.tap",
            "from: external-gate.lower",
            "5:43: this hose begins and ends on 'external-gate.lower'",
        ),
        (
            SETUP,
            OPEN,
            "open: [external-gate.lower]",
            "6:8: 'external-gate.lower' is open here and has a hose; expected one of the two",
        ),
        (
            SETUP,
            OPEN,
            "capped: [manifold.tap]",
            "6:10: 'manifold.tap' is capped here and has a hose; expected one of the two",
        ),
        (
            SETUP,
            OPEN,
            f"{OPEN}\ncapped: [external-gate.upper]",
            "7:10: 'external-gate.upper' is open already; expected one of the two",
        ),
        (
            SETUP,
            OPEN,
            "capped: [external-gate.side]",
            "6:10: of the part 'external-gate', the port 'side' is not known;"
            " expected one of lower, upper",
        ),
        # A bypass goes with every setup, and one of the two has no gate of its own.
        (
            BYPASS,
            "from: manifold.tap",
            "from: external-gate.lower",
            "5:18: the part 'external-gate' is not one of the parts here; add it to them",
        ),
    ],
)
def test_ports_that_are_not_there(
    file: str, old: str, new: str, report: str, tmp_path: Path
) -> None:
    assert mistakes_in(tmp_path, edited(file, old, new)) == [f"{file}:{report}"]


def test_a_gate_to_choose_may_have_hoses(tmp_path: Path) -> None:
    new = (
        "gates: [internal-gate, external-gate]\n"
        "hoses:\n"
        "  one: {from: manifold.tap, to: internal-gate.nipple, why: opens it}\n"
        "  two: {from: manifold.tap, to: external-gate.lower, why: opens it}\n"
    )
    files = edited("setups/manual.yaml", "gates: [internal-gate, external-gate]\n", new)
    assert mistakes_in(tmp_path, files) == []
