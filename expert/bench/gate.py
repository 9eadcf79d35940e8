"""The balance of forces on a wastegate. SI units; pressures are gauge unless they say otherwise.

    diaphragm area * (lower - upper) + valve area * exhaust difference * lever
        = preload + rate * lift, and friction against the movement

Sign: what opens the valve is positive.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from expert.bench.air import GAMMA, SEA_LEVEL_PA

ISOTHERMAL: Final = 1.0
ADIABATIC: Final = GAMMA
_HALVINGS: Final = 80


@dataclass(frozen=True, slots=True)
class Gate:
    """A wastegate with its actuator.

    The defaults are typical of a small one: common practice, no source.
    """

    diaphragm_m2: float = 15.904e-4
    preload_n: float = 79.52
    rate_n_m: float = 6_000.0
    travel_m: float = 0.010
    valve_m2: float = 0.0
    lever: float = 1.0
    friction_n: float = 0.0

    def opening_pa(self, upper_pa: float = 0.0, exhaust_pa: float = 0.0) -> float:
        """The pressure below the diaphragm at which the valve begins to move."""
        exhaust_n = self.valve_m2 * exhaust_pa * self.lever
        return upper_pa + (self.preload_n + self.friction_n - exhaust_n) / self.diaphragm_m2

    def full_open_pa(self, upper_pa: float = 0.0, exhaust_pa: float = 0.0) -> float:
        """The pressure below the diaphragm at which the valve is fully open."""
        return (
            self.opening_pa(upper_pa, exhaust_pa)
            + self.rate_n_m * self.travel_m / self.diaphragm_m2
        )

    def lift_m(self, lower_pa: float, upper_pa: float = 0.0, exhaust_pa: float = 0.0) -> float:
        """How far the valve is open while it opens."""
        over_n = (lower_pa - self.opening_pa(upper_pa, exhaust_pa)) * self.diaphragm_m2
        return min(max(over_n / self.rate_n_m, 0.0), self.travel_m)

    def blown_open_pa(self, lower_pa: float = 0.0, upper_pa: float = 0.0) -> float:
        """The exhaust difference that lifts the valve by itself; infinite without a valve area."""
        holding_n = self.preload_n + self.friction_n - self.diaphragm_m2 * (lower_pa - upper_pa)
        push = self.valve_m2 * self.lever
        return max(holding_n, 0.0) / push if push > 0.0 else math.inf

    def lift_capped_m(
        self,
        lower_pa: float,
        chamber_m3: float,
        exponent: float,
        ambient_pa: float = SEA_LEVEL_PA,
        exhaust_pa: float = 0.0,
    ) -> float:
        """The lift with the upper chamber capped: the air shut in there is a second spring.

        ``chamber_m3`` is its volume with the valve shut, ``exponent`` 1 for slow (isothermal) and
        1.4 for quick (adiabatic) compression.
        """

        def lift_at(guess_m: float) -> float:
            squeezed = min(self.diaphragm_m2 * guess_m / chamber_m3, 0.99)
            return self.lift_m(
                lower_pa, trapped_pa(ambient_pa, squeezed, exponent) - ambient_pa, exhaust_pa
            )

        low, high = 0.0, self.travel_m
        if lift_at(high) >= high:
            return high
        for _ in range(_HALVINGS):
            middle = (low + high) / 2.0
            low, high = (middle, high) if lift_at(middle) > middle else (low, middle)
        return (low + high) / 2.0


def of_spring(
    spring_pa: float, area_m2: float = 15.904e-4, rate_n_m: float = 6_000.0, travel_m: float = 0.010
) -> Gate:
    """A gate whose valve begins to move at a pressure."""
    return Gate(
        diaphragm_m2=area_m2, preload_n=spring_pa * area_m2, rate_n_m=rate_n_m, travel_m=travel_m
    )


def trapped_pa(before_pa: float, squeezed: float, exponent: float) -> float:
    """Absolute pressure of air shut in and squeezed by a share of its volume: p (1 - f)^-n."""
    if not 0.0 <= squeezed < 1.0:
        raise ValueError("the share squeezed must be from 0 to less than 1")
    return float(before_pa * (1.0 - squeezed) ** -exponent)


def area_of_m2(diameter_m: float) -> float:
    """Area of a circle."""
    return math.pi / 4.0 * diameter_m * diameter_m
