"""The plumbing of a car while it is driven: what its gate sees, and which gate that is."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from expert.bench.car import Car
from expert.bench.gatemap import Sight

# A solenoid that is driven less than this is at rest.
_RESTS: Final = 0.02
_LEAST_LAG_S: Final = 0.01


class Plumbing:
    """What the gate sees as the solenoid is driven, and the gate itself.

    While the solenoid rests, the gate may have air shut in. ``shut`` and ``pulled`` are what it
    sees in the two positions of the plunger.
    """

    __slots__ = ("_driven", "_resting", "_table", "gate", "lag_s", "pulled", "shut", "sight")

    def __init__(self, car: Car) -> None:
        self._table = car.gate_map()
        self._driven = self._resting = car.wastegate
        if car.wastegate.shut_in_m3 is None and self._table.shut_in_m3 is not None:
            self._resting = replace(car.wastegate, shut_in_m3=self._table.shut_in_m3)
        self.lag_s = max(self._table.lag_s + car.extra_lag_s, _LEAST_LAG_S)
        self.shut: Sight = self._table.at(0.0)
        self.pulled: Sight = self._table.at(1.0)
        self.drive(0.0)

    def drive(self, share: float) -> None:
        """The solenoid is driven for this share of the time."""
        self.sight = self._table.at(share)
        self.gate = self._resting if share < _RESTS else self._driven
