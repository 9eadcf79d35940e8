"""Ports and moves in words: ``expert/evidence/hookup/words.py``."""

from __future__ import annotations

import pytest

from expert.evidence.hookup.moves import Cap, Fit, Move, Remove, Step, Swap, Uncap, Untee
from expert.evidence.hookup.repairs import Free, PlugIn, Renew, Repair, Restrict, TakeOut
from expert.evidence.hookup.words import (
    end_words,
    mending_words,
    port_words,
    repair_words,
    step_words,
)
from tests.evidence.hookup.rigs import judged, shipped

ONE, OTHER, THIRD = "three-port.common", "external-gate.upper", "external-gate.lower"


def test_ports_and_ends() -> None:
    assert port_words(shipped(), ONE) == "three-port.common (three-port boost solenoid)"
    assert port_words(shipped(), "thing.port") == "thing.port (thing)"
    assert end_words("air") == "nothing, open"
    assert end_words("cap") == "a cap"
    assert end_words(OTHER) == f"hose to {OTHER}"


@pytest.mark.parametrize(
    ("step", "ports", "verb"),
    [
        (Swap(ONE, OTHER), 2, "Swap"),
        (Move(ONE, OTHER, THIRD), 3, "Move"),
        (Remove(ONE, OTHER), 2, "Take off"),
        (Fit(ONE, OTHER), 2, "Fit"),
        (Cap(ONE), 1, "Cap"),
        (Uncap(ONE), 1, "Take the cap off"),
        (Untee(ONE, OTHER), 2, "Take out the tee"),
    ],
)
def test_every_step_names_its_ports(step: Step, ports: int, verb: str) -> None:
    text = step_words(shipped(), step)
    assert text.startswith(verb)
    assert text.endswith(".")
    assert sum(port in text for port in (ONE, OTHER, THIRD)) == ports


@pytest.mark.parametrize(
    ("repair", "text"),
    [
        (Renew(ONE, OTHER), "it leaks."),
        (Free(ONE, OTHER), "it is pinched."),
        (TakeOut(ONE, OTHER), "Take the check valve out of the hose between"),
        (Restrict("blocked", "ball-controller"), "bleed hole of the ball controller"),
        (Restrict("blocked", "bleed-controller"), "Clear the restrictor"),
        (Restrict("missing", "bleed-controller"), "Fit the restrictor"),
        (PlugIn(), "Plug the boost solenoid in."),
    ],
)
def test_every_repair_is_an_instruction(repair: Repair, text: str) -> None:
    assert text in repair_words(shipped(), repair)


def test_a_cap_comes_off_before_its_hose_is_fitted() -> None:
    closed = "three-port.normally-closed"
    one = judged("external-single", f"{closed}=cap", "inlet-pipe.tap=air", plugged=False)
    told = mending_words(shipped(), one)
    assert [text.split()[0] for text in told] == ["Plug", "Take", "Fit"]
    assert "leave it open" not in " ".join(told)
