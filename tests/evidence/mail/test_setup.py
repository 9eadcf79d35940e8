"""The setup by the parts that are named: ``expert/evidence/mail/setup.py``."""

from __future__ import annotations

import pytest

from expert.evidence.mail.setup import setup_of
from tests.evidence.mail.understanding import lexicon


@pytest.mark.parametrize(
    ("parts", "setup", "gate"),
    [
        ({"external-gate", "three-port"}, "external-single", None),
        ({"external-gate", "three-port", "two-signals"}, "external-upper", None),
        ({"four-port"}, "dual-four-port", None),
        ({"internal-gate", "coupler-tap"}, "internal-tap", None),
        ({"internal-gate", "bleed-controller"}, "manual-bleed", "internal"),
        ({"external-gate", "ball-controller"}, "manual-ball", "external"),
        ({"external-gate"}, None, "external"),
        ({"internal-gate", "boost-solenoid"}, None, "internal"),
        (set(), None, None),
    ],
)
def test_setup_and_gate(parts: set[str], setup: str | None, gate: str | None) -> None:
    assert setup_of(parts, lexicon())[:2] == (setup, gate)


def test_every_setup_that_fits_is_named() -> None:
    fitting = setup_of({"external-gate", "boost-solenoid"}, lexicon())[3]
    assert set(fitting) == {"external-single", "external-upper", "dual-four-port"}


def test_the_bypass_layout() -> None:
    assert setup_of({"manifold-bypass"}, lexicon())[2] == "manifold"
    assert setup_of({"bypass-valve"}, lexicon())[2] is None
