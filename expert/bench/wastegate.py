"""The gate as a valve in the exhaust: lift, area and flow, over the balance of forces of a gate."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from expert.bench.bounds import within
from expert.bench.gate import Gate, trapped_pa
from expert.bench.turbine import OF_EXHAUST

# What a gate is rated by: the spring it holds on a running engine, with the exhaust pushing at the
# valve (the more, the more boost) and the spring squeezed by the usual lift. Assumed, and so that
# both nearly cancel.
_RATED_EXHAUST_PA: Final = 20e3
_RATED_EXHAUST_SHARE: Final = 0.75
_RATED_LIFT_M: Final = 0.0035
# The bore that is just enough for the engine of the bench on a mild day; assumed.
ENOUGH_M: Final = 0.0245
# Between isothermal and adiabatic, as for air that is shut in while boost moves slowly.
_TRAPPED_EXPONENT: Final = 1.1


@dataclass(frozen=True, slots=True)
class Wastegate:
    """A gate with its valve and its seat.

    ``port_m`` is the bore that the valve covers, ``leak_m2`` what stays open when it is shut,
    ``stuck_m`` a lift at which it does not move any more, ``pushes`` how the exhaust acts on the
    valve: 1 opens, -1 shuts (mounted the wrong way round). ``ajar_m`` is the least lift.
    ``passes`` is the share of the gas that an outlet leaves. ``shut_in_m3`` is the volume of air
    shut in above the diaphragm.

    The rest is what is seen of it in pieces: ``ring`` is the seat ring (square, tilted, none),
    ``debris`` something between valve and seat, ``play`` a worn hinge, ``fouls`` a flapper that
    hits something. ``spring_made_for`` is what the springs are made for beside what is on the
    sheet, ``spring_sag`` what is left of their length. ``rod_short_m`` is how much shorter the rod
    is than usual.
    """

    gate: Gate
    port_m: float
    discharge: float = 0.8
    leak_m2: float = 0.0
    ajar_m: float = 0.0
    stuck_m: float | None = None
    pushes: float = 1.0
    passes: float = 1.0
    joined: bool = True
    shut_in_m3: float | None = None
    torn: float = 0.0
    ring: str = "square"
    debris: bool = False
    play: bool = False
    fouls: bool = False
    spring_made_for: float = 1.0
    spring_sag: float = 1.0
    rod_short_m: float = 0.0

    def lift_m(
        self,
        before_m: float,
        lower_pa: float,
        upper_pa: float,
        exhaust_pa: float,
        ambient_pa: float,
    ) -> float:
        """The lift that follows from the pressures, gauge; drag keeps it where it was."""
        if self.stuck_m is not None:
            return self.stuck_m
        gate = self.gate
        if not self.joined:
            # The rod is off: only the exhaust acts on the flapper, and it needs little.
            return gate.travel_m if exhaust_pa > 3e3 else 0.0
        if self.shut_in_m3 is not None:
            squeezed = min(gate.diaphragm_m2 * before_m / self.shut_in_m3, 0.9)
            upper_pa = trapped_pa(ambient_pa, squeezed, _TRAPPED_EXPONENT) - ambient_pa
        working_pa = (lower_pa - upper_pa) * (1.0 - self.torn)
        force = (
            gate.diaphragm_m2 * working_pa
            + self.pushes * gate.valve_m2 * gate.lever * exhaust_pa
            - gate.preload_n
        )
        opens_to = (force - gate.friction_n) / gate.rate_n_m
        shuts_to = (force + gate.friction_n) / gate.rate_n_m
        return within(within(before_m, opens_to, shuts_to), self.ajar_m, gate.travel_m)

    def area_m2(self, lift_m: float) -> float:
        """Effective area: the curtain of the valve, at most its bore, and what leaks."""
        curtain = math.pi * self.port_m * lift_m
        bore = math.pi / 4.0 * self.port_m * self.port_m
        opened = curtain if curtain < bore else bore
        return self.discharge * (opened * self.passes + self.leak_m2)

    def flow_kg_s(self, lift_m: float, p3_pa: float, p4_pa: float, t3_k: float) -> float:
        """Exhaust past the turbine."""
        return OF_EXHAUST.flow_kg_s(self.area_m2(lift_m), p3_pa, p4_pa, t3_k)


def internal(spring_pa: float) -> Wastegate:
    """A flapper in the turbine housing with its can. Common practice, no source."""
    return rated(Gate(rate_n_m=6_000.0, valve_m2=7.07e-4, lever=0.45), spring_pa, 0.030)


def external(spring_pa: float) -> Wastegate:
    """A gate of 38 mm on its own branch. Common practice, no source."""
    gate = Gate(diaphragm_m2=28e-4, rate_n_m=9_000.0, travel_m=0.011, valve_m2=11.34e-4, lever=0.45)
    return rated(gate, spring_pa, 0.038)


def rated(gate: Gate, spring_pa: float, port_m: float) -> Wastegate:
    """A gate whose preload holds a spring pressure on a running engine."""
    preload = (
        gate.diaphragm_m2 * spring_pa
        + gate.valve_m2 * gate.lever * (_RATED_EXHAUST_PA + _RATED_EXHAUST_SHARE * spring_pa)
        - gate.rate_n_m * _RATED_LIFT_M
    )
    return Wastegate(replace(gate, preload_n=max(preload, 1.0)), port_m)
