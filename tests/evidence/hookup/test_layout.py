"""The plumbing as it should be: ``expert/evidence/hookup/layout.py``."""

from __future__ import annotations

import pytest

from expert.model import Knowledge
from tests.evidence.hookup.rigs import layout, shipped


def cars(knowledge: Knowledge) -> list[tuple[str, str | None, str | None]]:
    return [
        (setup, gate, bypass)
        for setup, plumbing in knowledge.setups.items()
        for gate in (["internal", "external"] if plumbing.gates else [None])
        for bypass in [None, *knowledge.bypasses]
    ]


@pytest.mark.parametrize(("setup", "gate", "bypass"), cars(shipped()))
def test_every_hose_is_between_ports_of_the_car(
    setup: str, gate: str | None, bypass: str | None
) -> None:
    one = layout(setup, gate, bypass)
    ends = [port for pair in one.pairs for port in pair]
    assert one.hoses
    assert set(ends) <= one.ports.keys()
    assert len(ends) == len(set(ends))
    assert one.capped.isdisjoint(ends)
    assert one.open.isdisjoint(ends)
    assert one.unused == one.ports.keys() - set(ends)


def test_the_other_gate_is_left_out() -> None:
    internal = layout("direct", "internal")
    assert set(internal.hoses) == {"gate-hose-internal"}
    assert not [port for port in internal.ports if port.startswith("external-gate")]


def test_a_bypass_brings_its_hoses() -> None:
    assert "manifold-bypass.signal" in layout("internal-tap", None, "manifold").ports
    assert len(layout("internal-tap", None, "manifold").hoses) == 1 + len(
        layout("internal-tap").hoses
    )
