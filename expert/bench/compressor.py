"""A centrifugal compressor as a mean-value model: flow, efficiency and power. Pressures absolute.

Source of the forms: Eriksson and Nielsen, Modeling and Control of Engines and Drivelines, chapter
8: head and flow coefficients on an ellipse, and an efficiency that falls off as a parabola.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from expert.bench.air import GAMMA, GAS_CONSTANT

# Specific heat of air at constant pressure: R g / (g - 1).
CP_AIR: Final = GAS_CONSTANT * GAMMA / (GAMMA - 1.0)
_EXPONENT: Final = (GAMMA - 1.0) / GAMMA
_LEAST_EFFICIENCY: Final = 0.30


@dataclass(frozen=True, slots=True)
class Compressor:
    """A compressor wheel. Parameters assumed; published generic ones have 0.80 at best.

    ``head_most`` and ``flow_most`` are where the ellipse of the two coefficients meets its axes;
    ``flow_surge`` is the flow coefficient below which flow breaks down. ``sound_loss`` narrows the
    flow at high tip speeds, as choking does. ``speed_most`` is the limit of speed in rad/s; past it
    efficiency falls steeply, which keeps a runaway finite.
    """

    diameter_m: float = 0.060
    head_most: float = 1.42
    flow_most: float = 0.155
    flow_best: float = 0.095
    flow_surge: float = 0.036
    efficiency_most: float = 0.76
    sound_loss: float = 0.8e-6
    speed_most: float = 17_000.0
    damage: float = 0.0

    def tip_m_s(self, speed: float) -> float:
        """Tip speed of the wheel at a speed in rad/s."""
        return 0.5 * self.diameter_m * speed

    def ratio_most(self, speed: float, inlet_k: float) -> float:
        """The pressure ratio without any flow: the most that this speed can hold."""
        head = 0.5 * self.head_most * (1.0 - self.damage) * self.tip_m_s(speed) ** 2
        return float((1.0 + head / (CP_AIR * inlet_k)) ** (1.0 / _EXPONENT))

    def flow_kg_s(self, speed: float, ratio: float, inlet_pa: float, inlet_k: float) -> float:
        """Mass flow at a speed and a pressure ratio; none where the speed cannot hold the ratio."""
        return self.unit_kg_s(speed, inlet_pa, inlet_k) * self.share_of_unit(speed, ratio, inlet_k)

    def share_of_unit(self, speed: float, ratio: float, inlet_k: float) -> float:
        """The flow at a pressure ratio as a share of the most at this speed."""
        tip = self.tip_m_s(speed)
        if tip <= 1.0:
            return 0.0
        rise = ratio**_EXPONENT - 1.0 if ratio > 1.0 else 0.0
        head = CP_AIR * inlet_k * rise
        share = head / (0.5 * tip * tip) / (self.head_most * (1.0 - self.damage))
        return math.sqrt(1.0 - share * share) if share < 1.0 else 0.0

    def surge_kg_s(self, unit_kg_s: float) -> float:
        """The least flow that is steady at a speed, of the most at that speed."""
        return unit_kg_s * self.flow_surge / self.flow_most

    def unit_kg_s(self, speed: float, inlet_pa: float, inlet_k: float) -> float:
        """The most flow at a speed."""
        tip = self.tip_m_s(speed)
        density = inlet_pa / (GAS_CONSTANT * inlet_k)
        narrowed = 1.0 / (1.0 + self.sound_loss * tip * tip)
        area = math.pi / 4.0 * self.diameter_m**2
        # The coefficient is flow / (density area tip); the usual 4 / pi is inside flow_most.
        return self.flow_most * 4.0 / math.pi * density * area * tip * narrowed

    def efficiency(self, speed: float, flow_kg_s: float, inlet_pa: float, inlet_k: float) -> float:
        """Isentropic efficiency: best at one flow coefficient, and falling on both sides.

        It falls with the tip speed besides, and steeply past the limit of speed.
        """
        return self.efficiency_of(speed, flow_kg_s, self.unit_kg_s(speed, inlet_pa, inlet_k))

    def efficiency_of(self, speed: float, flow_kg_s: float, unit_kg_s: float) -> float:
        """The same by the most flow at this speed."""
        tip = self.tip_m_s(speed)
        if tip <= 1.0:
            return self.efficiency_most / 2.0
        flow = self.flow_most * flow_kg_s / unit_kg_s
        off = (flow - self.flow_best) / self.flow_most
        fast = tip / 380.0 - 1.0 if tip > 380.0 else 0.0
        over = speed / self.speed_most - 1.0 if speed > self.speed_most else 0.0
        found = self.efficiency_most * (1.0 - 0.9 * off * off - 0.9 * fast * fast - 12.0 * over)
        found *= 1.0 - 0.6 * self.damage
        least = _LEAST_EFFICIENCY / (1.0 + 20.0 * over)
        return found if found > least else least


def compressor_w(flow_kg_s: float, inlet_k: float, ratio: float, efficiency: float) -> float:
    """Power that a compressor takes: m cp T1 (PR^((g-1)/g) - 1) / efficiency.

    Source: Cengel and Boles, Thermodynamics, chapter 7.
    """
    return flow_kg_s * CP_AIR * inlet_k * (float(ratio**_EXPONENT) - 1.0) / efficiency


def ratio_of_power(power_w: float, flow_kg_s: float, inlet_k: float, efficiency: float) -> float:
    """The pressure ratio that a power makes: ``compressor_w`` the other way round."""
    work = power_w * efficiency / (flow_kg_s * CP_AIR * inlet_k)
    return float((1.0 + work) ** (1.0 / _EXPONENT))
