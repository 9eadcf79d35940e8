"""The car of a case: which parts it has."""

from __future__ import annotations

from expert import model
from expert.case.known import known
from expert.errors import UsageError
from expert.model import Knowledge

NO_BYPASS = "none"
GATES = model.GATES


def gate_missing(knowledge: Knowledge, setup: str, gate: str | None) -> bool:
    """Does this setup leave its gate open, and is none named?"""
    return gate is None and bool(knowledge.setups[setup].gates)


def parts_of(
    knowledge: Knowledge, setup: str, gate: str | None, bypass: str | None
) -> frozenset[str]:
    """The parts of a car with this setup, gate and bypass layout.

    Raises UsageError for an id that the knowledge does not hold, or a gate that does not fit.
    """
    known("setup", setup, knowledge.setups)
    layout = knowledge.setups[setup]
    parts = set(layout.parts)
    if gate is not None:
        known("gate", gate, GATES)
        if GATES[gate] not in parts | set(layout.gates):
            raise UsageError(f"The setup {setup} has no {gate} gate; leave --gate out.")
        parts.add(GATES[gate])
    elif layout.gates:
        choices = " or ".join(name for name, part in GATES.items() if part in layout.gates)
        raise UsageError(f"The setup {setup} needs its gate named: --gate {choices}.")
    if bypass is not None and bypass != NO_BYPASS:
        known("bypass", bypass, [*knowledge.bypasses, NO_BYPASS])
        parts.update(knowledge.bypasses[bypass].parts)
    return frozenset(parts)
