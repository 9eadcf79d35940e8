"""A radial turbine as a mean-value model: flow, efficiency and power. Pressures absolute.

Source of the forms: Eriksson and Nielsen, Modeling and Control of Engines and Drivelines, chapter
8. The parameters of the gas and the shape of the flow are published generic ones for a 1.8 l
engine; its capacity of 0.017 is made larger for a tuned 2.0 l, assumed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from expert.bench.flow import Nozzle

CP_EXHAUST: Final = 1_256.67
GAMMA_EXHAUST: Final = 1.3
R_EXHAUST: Final = 290.0
OF_EXHAUST: Final = Nozzle(GAMMA_EXHAUST, R_EXHAUST)
_EXPONENT: Final = (GAMMA_EXHAUST - 1.0) / GAMMA_EXHAUST
_LEAST_EFFICIENCY: Final = 0.15


@dataclass(frozen=True, slots=True)
class Turbine:
    """A turbine wheel in its housing; its best is a little below the published generic 0.75.

    ``capacity`` is k1 of ``m sqrt(T3) / p3 = k1 sqrt(1 - (p4/p3)^k2)``, in kg sqrt(K) / (s kPa).
    """

    capacity: float = 0.023
    shape: float = 1.4
    diameter_m: float = 0.052
    efficiency_most: float = 0.72
    # Best ratio of blade speed to gas speed: 0.6 to 0.7 in every textbook.
    blade_best: float = 0.65
    damage: float = 0.0

    def flow_kg_s(self, p3_pa: float, p4_pa: float, t3_k: float) -> float:
        """Mass flow from the exhaust manifold to behind the turbine."""
        if p3_pa <= p4_pa:
            return 0.0
        root = math.sqrt(1.0 - (p4_pa / p3_pa) ** self.shape)
        return self.capacity * p3_pa * 1e-3 / math.sqrt(t3_k) * root

    def efficiency(self, speed: float, p3_pa: float, p4_pa: float, t3_k: float) -> float:
        """Isentropic efficiency: a parabola over the ratio of blade speed to gas speed."""
        if p3_pa <= p4_pa:
            return _LEAST_EFFICIENCY
        return self._efficiency(speed, CP_EXHAUST * t3_k * _drop(p3_pa, p4_pa))

    def power_w(
        self, flow_kg_s: float, speed: float, p3_pa: float, p4_pa: float, t3_k: float
    ) -> float:
        """Power that it gives at its efficiency, as ``turbine_w``."""
        if p3_pa <= p4_pa:
            return 0.0
        drop = _drop(p3_pa, p4_pa)
        efficiency = self._efficiency(speed, CP_EXHAUST * t3_k * drop)
        return flow_kg_s * CP_EXHAUST * t3_k * efficiency * drop

    def _efficiency(self, speed: float, ideal: float) -> float:
        blade = 0.5 * self.diameter_m * speed / math.sqrt(2.0 * ideal)
        off = blade / self.blade_best - 1.0
        found = self.efficiency_most * (1.0 - 0.7 * off * off)
        return (found if found > _LEAST_EFFICIENCY else _LEAST_EFFICIENCY) * (1.0 - self.damage)


def turbine_w(
    flow_kg_s: float, p3_pa: float, p4_pa: float, t3_k: float, efficiency: float
) -> float:
    """Power that a turbine gives: m cp T3 efficiency (1 - (p4/p3)^((g-1)/g)).

    Source: Cengel and Boles, Thermodynamics, chapter 7.
    """
    if p3_pa <= p4_pa:
        return 0.0
    return flow_kg_s * CP_EXHAUST * t3_k * efficiency * _drop(p3_pa, p4_pa)


def _drop(p3_pa: float, p4_pa: float) -> float:
    """The share of the heat that an ideal expansion turns into work."""
    return 1.0 - float((p4_pa / p3_pa) ** _EXPONENT)


def p3_of_power(
    power_w: float, turbine: Turbine, p4_pa: float, t3_k: float, efficiency: float
) -> float:
    """The pressure before the turbine at which it gives a power; by bisection."""

    def power_at(p3_pa: float) -> float:
        flow = turbine.flow_kg_s(p3_pa, p4_pa, t3_k)
        return turbine_w(flow, p3_pa, p4_pa, t3_k, efficiency)

    low, high = p4_pa, 20.0 * p4_pa
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if power_at(middle) < power_w else (low, middle)
    return (low + high) / 2.0


def balanced_ratio(
    flow_ratio: float,
    t3_over_t1: float,
    efficiency: float,
    expansion: float,
    *,
    cp_ratio: float = 1.25,
    gamma_exhaust: float = GAMMA_EXHAUST,
    gamma_air: float = 1.4,
) -> float:
    """Pressure ratio of a compressor whose turbine just drives it.

    ``flow_ratio`` is turbine flow over compressor flow, ``expansion`` p4/p3, ``efficiency`` that
    of both wheels and the bearings together. Source: Isermann, Engine Modeling and Control,
    equation 5.4.17.
    """
    drop = 1.0 - expansion ** ((gamma_exhaust - 1.0) / gamma_exhaust)
    work = 1.0 + flow_ratio * cp_ratio * t3_over_t1 * efficiency * drop
    return float(work ** (gamma_air / (gamma_air - 1.0)))
