"""Flow of a gas through an orifice, and through a restriction by ISO 6358. Pressures absolute."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from expert.bench.air import GAMMA, GAS_CONSTANT

# ISO 6358-1:2013, 3.4: the standard reference atmosphere of pneumatics.
REFERENCE_K: Final = 293.15
REFERENCE_KG_M3: Final = 1.185
# The critical ratio that ISO 6358 gives for a plain nozzle is .528; valves and fittings with bends
# have less. Common practice, no source.
NOZZLE_RATIO: Final = 0.528
FITTING_RATIO: Final = 0.35
# Next to equal pressures the root has no finite slope; there the flow is taken as laminar, that
# is linear in the pressure ratio. Common practice of general-purpose solvers.
LAMINAR_RATIO: Final = 0.999


def critical_ratio(gamma: float = GAMMA) -> float:
    """Pressure ratio below which an orifice is choked: (2 / (g + 1)) ^ (g / (g - 1))."""
    return float((2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0)))


def flow_function(ratio: float, gamma: float = GAMMA) -> float:
    """The dimensionless flow through a nozzle at a pressure ratio p2/p1.

    sqrt(2g/(g-1) (r^(2/g) - r^((g+1)/g))), constant below the critical ratio. Source: Cengel and
    Boles, Thermodynamics, chapter 17, compressible flow.
    """
    r = min(max(ratio, critical_ratio(gamma)), 1.0)
    term = r ** (2.0 / gamma) - r ** ((gamma + 1.0) / gamma)
    return math.sqrt(max(2.0 * gamma / (gamma - 1.0) * term, 0.0))


def orifice_kg_s(
    area_m2: float,
    upstream_pa: float,
    downstream_pa: float,
    temperature_k: float,
    *,
    discharge: float = 1.0,
    gamma: float = GAMMA,
    gas_constant: float = GAS_CONSTANT,
) -> float:
    """Mass flow through an orifice, Cd A p1 / sqrt(R T1) times the flow function, or none."""
    if upstream_pa <= 0.0 or downstream_pa >= upstream_pa:
        return 0.0
    speed = discharge * area_m2 * upstream_pa / math.sqrt(gas_constant * temperature_k)
    return speed * flow_function(downstream_pa / upstream_pa, gamma)


class Flow(NamedTuple):
    """A mass flow in kg/s, and its slopes by the two pressures in kg/(s Pa)."""

    kg_s: float
    by_upstream: float
    by_downstream: float


def conductance_of(area_m2: float, discharge: float = 1.0) -> float:
    """Sonic conductance C in m3/(s Pa) of an orifice: its choked flow in the form of ISO 6358."""
    choked = discharge * area_m2 * flow_function(0.0)
    return choked / (REFERENCE_KG_M3 * math.sqrt(GAS_CONSTANT * REFERENCE_K))


def conductance_of_bore(bore_mm: float, discharge: float = 0.8) -> float:
    """The same for a round bore; a discharge of .8 for a short drilled hole is common practice."""
    return conductance_of(math.pi / 4.0 * (bore_mm * 1e-3) ** 2, discharge)


def restriction_kg_s(
    conductance: float,
    ratio: float,
    upstream_pa: float,
    downstream_pa: float,
    temperature_k: float = REFERENCE_K,
) -> float:
    """Mass flow by ISO 6358: C rho0 p1 sqrt(T0/T1) sqrt(1 - ((p2/p1 - b)/(1 - b))^2).

    ``conductance`` is C in m3/(s Pa), ``ratio`` the critical pressure ratio b. Backwards it is
    negative.
    """
    if downstream_pa > upstream_pa:
        return -restriction(conductance, ratio, downstream_pa, upstream_pa, temperature_k).kg_s
    return restriction(conductance, ratio, upstream_pa, downstream_pa, temperature_k).kg_s


def restriction(
    conductance: float,
    ratio: float,
    upstream_pa: float,
    downstream_pa: float,
    temperature_k: float = REFERENCE_K,
) -> Flow:
    """The flow by ISO 6358 with its slopes; upstream must be the higher pressure."""
    speed = conductance * REFERENCE_KG_M3 * math.sqrt(REFERENCE_K / temperature_k)
    if upstream_pa <= 0.0:
        return Flow(0.0, speed, -speed)
    r = downstream_pa / upstream_pa
    if r <= ratio:
        return Flow(speed * upstream_pa, speed, 0.0)
    if r >= LAMINAR_RATIO:
        edge = (LAMINAR_RATIO - ratio) / (1.0 - ratio)
        slope = speed * math.sqrt(1.0 - edge * edge) / (1.0 - LAMINAR_RATIO)
        return Flow(slope * (upstream_pa - downstream_pa), slope, -slope)
    x = (r - ratio) / (1.0 - ratio)
    root = math.sqrt(1.0 - x * x)
    by_ratio = -x / (root * (1.0 - ratio))
    return Flow(speed * upstream_pa * root, speed * (root - r * by_ratio), speed * by_ratio)
