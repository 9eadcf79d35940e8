"""Every car that the knowledge is for, as a set of parts, and sets of cars as bits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import reduce

from expert.model import Plumbing


class Cars:
    """All setups with each of their gates and each bypass layout, or none.

    A set of cars is an integer with one bit a car, so that a tree is walked once for all of them.
    """

    def __init__(self, setups: Mapping[str, Plumbing], bypasses: Mapping[str, Plumbing]) -> None:
        self._names: list[str] = []
        self._having: dict[str, int] = {}
        for setup_name, setup in setups.items():
            for gate in setup.gates or ("",):
                for bypass_name in ("", *bypasses):
                    name = setup_name
                    parts = {*setup.parts}
                    if gate:
                        name += f", gate {gate}"
                        parts.add(gate)
                    if bypass_name:
                        name += f", bypass {bypass_name}"
                        parts.update(bypasses[bypass_name].parts)
                    self._add(name, parts)
        self.every = (1 << len(self._names)) - 1

    def _add(self, name: str, parts: set[str]) -> None:
        bit = 1 << len(self._names)
        self._names.append(name)
        for part in parts:
            self._having[part] = self._having.get(part, 0) | bit

    def having(self, part: str) -> int:
        """The cars that have a part."""
        return self._having.get(part, 0)

    def having_all(self, parts: Iterable[str]) -> int:
        """The cars that have all of the parts."""
        return reduce(lambda cars, part: cars & self.having(part), parts, self.every)

    def first(self, cars: int) -> str:
        """The name of the first car of a set that is not empty."""
        return self._names[(cars & -cars).bit_length() - 1]
