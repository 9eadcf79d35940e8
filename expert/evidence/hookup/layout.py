"""The plumbing of a car as the knowledge says it should be: ports, hoses, caps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from expert.model import Hose, Knowledge, Plumbing

Port = str
Pair = frozenset[Port]


@dataclass(frozen=True, slots=True)
class Layout:
    """Parts, every port by its description, hoses by id, and ports that are open or capped."""

    parts: frozenset[str]
    ports: Mapping[Port, str]
    hoses: Mapping[str, Hose]
    open: frozenset[Port]
    capped: frozenset[Port]

    @property
    def pairs(self) -> frozenset[Pair]:
        """The hoses as pairs of ports, whichever way round."""
        return frozenset(frozenset((hose.from_, hose.to)) for hose in self.hoses.values())

    @property
    def unused(self) -> frozenset[Port]:
        """Ports that no hose of the layout is on."""
        return frozenset(self.ports) - {port for pair in self.pairs for port in pair}


def layout_of(
    knowledge: Knowledge, setup: str, bypass: str | None, parts: frozenset[str]
) -> Layout:
    """The layout of a setup with a bypass, for a car with these parts.

    ``parts`` are those of ``expert.case.car.parts_of``; hoses and ports of other gates are left
    out.
    """
    layouts: list[Plumbing] = [knowledge.setups[setup]]
    if bypass is not None and bypass in knowledge.bypasses:
        layouts.append(knowledge.bypasses[bypass])
    ports = {
        f"{part}.{port}": text
        for part in knowledge.parts
        if part in parts
        for port, text in knowledge.parts[part].ports.items()
    }
    hoses = {
        name: hose
        for layout in layouts
        for name, hose in layout.hoses.items()
        if hose.from_ in ports and hose.to in ports
    }
    return Layout(
        parts,
        ports,
        hoses,
        frozenset(port for layout in layouts for port in layout.open if port in ports),
        frozenset(port for layout in layouts for port in layout.capped if port in ports)
        - {port for hose in hoses.values() for port in (hose.from_, hose.to)},
    )
