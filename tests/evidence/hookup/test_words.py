"""Ports and moves in words: ``expert/evidence/hookup/words.py``."""

from __future__ import annotations

import pytest

from expert.evidence.hookup.moves import Cap, Fit, Move, Remove, Step, Swap, Uncap
from expert.evidence.hookup.words import end_words, port_words, step_words
from tests.evidence.hookup.rigs import shipped

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
    ],
)
def test_every_step_names_its_ports(step: Step, ports: int, verb: str) -> None:
    text = step_words(shipped(), step)
    assert text.startswith(verb)
    assert text.endswith(".")
    assert sum(port in text for port in (ONE, OTHER, THIRD)) == ports
