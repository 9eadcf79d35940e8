"""A petrol engine as a mean-value model: air, exhaust heat and torque. Pressures absolute.

Source of the forms: Eriksson and Nielsen, Modeling and Control of Engines and Drivelines, chapters
5 and 7. Parameters are of no particular engine: published generic ones where it says so, else
assumed.
"""

from __future__ import annotations

import bisect
import math
from dataclasses import dataclass
from typing import Final

from expert.bench.air import GAS_CONSTANT
from expert.bench.bounds import within
from expert.bench.flow import flow_function

FUEL_J_KG: Final = 44.0e6  # lower heating value of petrol, as textbooks have it
_REVOLUTIONS_S: Final = 1.0 / 60.0


@dataclass(frozen=True, slots=True)
class Engine:
    """A four-stroke petrol engine of 2 l.

    Filling of 0.95 and exhaust heat that rises with flow are published generic parameters; the
    slopes, the friction and the heat to work ratio are assumed. ``spark`` is the share of the
    torque that ignition and compression leave, ``misfire_k`` what misfiring takes off the exhaust
    temperature.
    """

    displacement_m3: float = 2.0e-3
    filling: float = 0.95
    best_rpm: float = 4_500.0
    filling_slope: float = 0.25
    residual_slope: float = 0.06
    exhaust_k: float = 1_000.0
    exhaust_k_per_kg_s: float = 1_500.0
    exhaust_most_k: float = 1_250.0
    mixture: float = 13.2
    work_share: float = 0.34
    friction_pa: float = 140e3
    inertia_kg_m2: float = 0.16
    throttle_m2: float = 2.26e-3
    throttle_least: float = 0.008
    idle_rpm: float = 850.0
    limit_rpm: float = 6_500.0
    spark: float = 1.0
    misfire_k: float = 0.0

    def filling_at(self, rpm: float, back_ratio: float = 1.0) -> float:
        """Volumetric efficiency; the more pressure behind, the more burnt gas stays."""
        off = (rpm - self.best_rpm) / self.best_rpm
        shape = 1.0 - self.filling_slope * off * off
        left = self.residual_slope * within(back_ratio - 1.0, -1.0, 4.0)
        return self.filling * (shape if shape > 0.5 else 0.5) * (1.0 - left)

    def pumping_m3_s(self, rpm: float, back_ratio: float = 1.0) -> float:
        """Volume that the engine draws in a second."""
        return self.filling_at(rpm, back_ratio) * self.displacement_m3 * rpm * _REVOLUTIONS_S / 2.0

    def exhaust_temperature_k(self, air_kg_s: float) -> float:
        """Temperature of the exhaust before the turbine."""
        hot = self.exhaust_k + self.exhaust_k_per_kg_s * air_kg_s
        return (hot if hot < self.exhaust_most_k else self.exhaust_most_k) - self.misfire_k

    def torque_n_m(
        self, air_kg_s: float, rpm: float, manifold_pa: float, exhaust_pa: float
    ) -> float:
        """Torque at the crankshaft: work of the fuel, less friction and gas exchange."""
        speed = (rpm if rpm > 200.0 else 200.0) * math.tau / 60.0
        work = self.spark * self.work_share * air_kg_s / self.mixture * FUEL_J_KG / speed
        lost_pa = self.friction_pa + (exhaust_pa - manifold_pa)
        return work - lost_pa * self.displacement_m3 / (4.0 * math.pi)

    def throttle_area_m2(self, share: float) -> float:
        """Effective area of the throttle at a share of its travel; assumed shape."""
        travel: float = share**1.7 if share > 0.0 else 0.0
        return self.throttle_m2 * (self.throttle_least + (1.0 - self.throttle_least) * travel)


def speed_density_kg_s(
    filling: float, displacement_m3: float, rpm: float, pressure_pa: float, temperature_k: float
) -> float:
    """Air that a four-stroke engine draws: VE Vd N p / (120 R T).

    Source: Heywood, Internal Combustion Engine Fundamentals, chapter 2.
    """
    return filling * displacement_m3 * rpm * pressure_pa / (120.0 * GAS_CONSTANT * temperature_k)


def _throttle_ratios() -> tuple[list[float], list[float]]:
    """Where r = q psi(r): pairs of q and r in rising order."""
    ratios = [k / 400.0 for k in range(4, 400)] + [0.9985, 0.9995]
    return [r / flow_function(r) for r in ratios], ratios


_Q, _R = _throttle_ratios()


def behind_throttle(area_m2: float, drawn_m3_s: float, temperature_k: float) -> float:
    """Manifold pressure over the pressure before the throttle, in a steady flow.

    The engine draws K p_m, the throttle passes A p_b psi(r) / sqrt(R T), and both are equal.
    """
    if drawn_m3_s <= 1e-9:
        return 1.0
    q = area_m2 * math.sqrt(GAS_CONSTANT * temperature_k) / drawn_m3_s
    k = bisect.bisect_left(_Q, q)
    if k == 0:
        return _R[0] * q / _Q[0]
    if k == len(_Q):
        return 1.0 - (1.0 - _R[-1]) * (_Q[-1] / q) ** 2
    share = (q - _Q[k - 1]) / (_Q[k] - _Q[k - 1])
    return _R[k - 1] + share * (_R[k] - _R[k - 1])
