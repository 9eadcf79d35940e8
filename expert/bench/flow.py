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


class Nozzle:
    """What a nozzle or an orifice passes of one gas; the powers of the gas are worked out once."""

    __slots__ = ("_choked", "_critical", "_factor", "_first", "_gas_constant", "_second")

    def __init__(self, gamma: float, gas_constant: float) -> None:
        self._critical = critical_ratio(gamma)
        self._factor = 2.0 * gamma / (gamma - 1.0)
        self._first, self._second = 2.0 / gamma, (gamma + 1.0) / gamma
        self._gas_constant = gas_constant
        self._choked = self._unchoked(self._critical)

    def function(self, ratio: float) -> float:
        """The dimensionless flow at a pressure ratio p2/p1.

        sqrt(2g/(g-1) (r^(2/g) - r^((g+1)/g))), constant below the critical ratio. Source: Cengel
        and Boles, Thermodynamics, chapter 17, compressible flow.
        """
        if ratio <= self._critical:
            return self._choked
        return self._unchoked(ratio) if ratio < 1.0 else 0.0

    def _unchoked(self, r: float) -> float:
        term: float = self._factor * (r**self._first - r**self._second)
        return math.sqrt(term) if term > 0.0 else 0.0

    def flow_kg_s(
        self, area_m2: float, upstream_pa: float, downstream_pa: float, temperature_k: float
    ) -> float:
        """Mass flow, A p1 / sqrt(R T1) times the flow function; none through no area."""
        if upstream_pa <= 0.0 or downstream_pa >= upstream_pa or area_m2 <= 0.0:
            return 0.0
        speed = area_m2 * upstream_pa / math.sqrt(self._gas_constant * temperature_k)
        return speed * self.function(downstream_pa / upstream_pa)


OF_AIR: Final = Nozzle(GAMMA, GAS_CONSTANT)


def flow_function(ratio: float) -> float:
    """The dimensionless flow of air through a nozzle at a pressure ratio p2/p1."""
    return OF_AIR.function(ratio)


def orifice_kg_s(
    area_m2: float,
    upstream_pa: float,
    downstream_pa: float,
    temperature_k: float,
    *,
    discharge: float = 1.0,
) -> float:
    """Mass flow of air through an orifice, Cd A p1 / sqrt(R T1) times the flow function."""
    return OF_AIR.flow_kg_s(discharge * area_m2, upstream_pa, downstream_pa, temperature_k)


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
    speed = choked_kg_s_pa(conductance, temperature_k)
    return Flow(*restricted(speed, ratio, upstream_pa, downstream_pa))


def choked_kg_s_pa(conductance: float, temperature_k: float = REFERENCE_K) -> float:
    """The choked flow of a conductance for each Pa before it."""
    return conductance * REFERENCE_KG_M3 * math.sqrt(REFERENCE_K / temperature_k)


def restricted(
    speed: float, ratio: float, upstream_pa: float, downstream_pa: float
) -> tuple[float, float, float]:
    """The same as ``restriction`` by the choked flow for each Pa, as a plain tuple."""
    if upstream_pa <= 0.0:
        return 0.0, speed, -speed
    r = downstream_pa / upstream_pa
    if r <= ratio:
        return speed * upstream_pa, speed, 0.0
    if r >= LAMINAR_RATIO:
        edge = (LAMINAR_RATIO - ratio) / (1.0 - ratio)
        slope = speed * math.sqrt(1.0 - edge * edge) / (1.0 - LAMINAR_RATIO)
        return slope * (upstream_pa - downstream_pa), slope, -slope
    x = (r - ratio) / (1.0 - ratio)
    root = math.sqrt(1.0 - x * x)
    by_ratio = -x / (root * (1.0 - ratio))
    return speed * upstream_pa * root, speed * (root - r * by_ratio), speed * by_ratio
