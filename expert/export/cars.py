"""The cars that a drawing is for: every way to plumb a car that fits what was named."""

from __future__ import annotations

from expert.case.car import GATES, NO_BYPASS, parts_of
from expert.case.state import State
from expert.errors import UsageError
from expert.model import Knowledge, Plumbing
from expert.text import clean


def cars_for(
    knowledge: Knowledge,
    setup: str | None = None,
    gate: str | None = None,
    bypass: str | None = None,
) -> tuple[State, ...]:
    """Every car with this setup, gate and bypass layout, each as the state of an empty case.

    None leaves that choice open and gives one car for each of its possibilities. Raises UsageError
    for an id that the knowledge does not hold, or a gate that does not fit.
    """
    setups = [setup] if setup is not None else list(knowledge.setups)
    bypasses = [bypass] if bypass is not None else [*knowledge.bypasses, NO_BYPASS]
    cars = []
    for named_setup in setups:
        layout = knowledge.setups.get(named_setup)
        gates = [gate] if gate is not None or layout is None else _gates(layout)
        if setup is None and gate is not None and layout is not None and not _has(layout, gate):
            continue
        for named_gate in gates:
            for named_bypass in bypasses:
                parts_of(knowledge, named_setup, named_gate, named_bypass)
                cars.append(State(setup=named_setup, gate=named_gate, bypass=named_bypass))
    if not cars:
        raise UsageError(
            f"No setup has a gate called {clean(gate or '', 60)}. Known: {', '.join(GATES)}."
        )
    return tuple(cars)


def _gates(layout: Plumbing) -> list[str | None]:
    """The choices for --gate; None where the setup fixes its gate."""
    return [name for name, part in GATES.items() if part in layout.gates] or [None]


def _has(layout: Plumbing, gate: str) -> bool:
    return GATES.get(gate) in {*layout.parts, *layout.gates}
