"""The car behind the engine: gears, clutch and road load. SI units.

Source of the forms: Eriksson and Nielsen, Modeling and Control of Engines and Drivelines, chapter
2. The parameters are those of a middling car, assumed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

_GRAVITY: Final = 9.80665
# Below this difference of speeds in rad/s a clutch is locked.
_LOCKED: Final = 1.0


@dataclass(frozen=True, slots=True)
class Vehicle:
    """Mass, wheels, gears and resistance; ``clutch_n_m`` is what the clutch can carry."""

    mass_kg: float = 1_400.0
    wheel_m: float = 0.31
    ratios: tuple[float, ...] = (3.4, 1.95, 1.36, 1.03, 0.82)
    final: float = 4.1
    efficiency: float = 0.92
    drag_m2: float = 0.65
    rolling: float = 0.013
    wheel_inertia_share: float = 0.05
    clutch_n_m: float = 900.0

    def gearing(self, gear: int) -> float:
        """Turns of the engine for a metre of road, as rad/m."""
        return self.ratios[gear - 1] * self.final / self.wheel_m

    def speed_m_s(self, rpm: float, gear: int) -> float:
        """Road speed of an engine speed with the clutch locked."""
        return rpm * math.tau / 60.0 / self.gearing(gear)

    def load_n(self, speed_m_s: float, density_kg_m3: float) -> float:
        """Air drag and rolling resistance."""
        air = 0.5 * density_kg_m3 * self.drag_m2 * speed_m_s * speed_m_s
        return air + self.rolling * self.mass_kg * _GRAVITY


def moved(
    vehicle: Vehicle,
    gear: int,
    engine_rad_s: float,
    road_m_s: float,
    *,
    torque_n_m: float,
    inertia_kg_m2: float,
    density_kg_m3: float,
    step_s: float,
) -> tuple[float, float]:
    """Engine speed in rad/s and road speed in m/s a step later; the clutch slips past its torque.

    Locked, both are one mass. Slipping, the clutch carries what it can.
    """
    gearing = vehicle.gearing(gear)
    mass = vehicle.mass_kg * (1.0 + vehicle.wheel_inertia_share)
    load = vehicle.load_n(road_m_s, density_kg_m3)
    slip = engine_rad_s - road_m_s * gearing
    whole = inertia_kg_m2 + mass / (gearing * gearing)
    locked = (torque_n_m - load / gearing / vehicle.efficiency) / whole
    carried = torque_n_m - inertia_kg_m2 * locked
    if abs(slip) < _LOCKED and abs(carried) <= vehicle.clutch_n_m:
        engine_rad_s += locked * step_s
        return engine_rad_s, engine_rad_s / gearing
    clutch = math.copysign(vehicle.clutch_n_m, slip if abs(slip) >= _LOCKED else carried)
    engine_rad_s += (torque_n_m - clutch) / inertia_kg_m2 * step_s
    road_m_s += (clutch * gearing * vehicle.efficiency - load) / mass * step_s
    return engine_rad_s, max(road_m_s, 0.0)
