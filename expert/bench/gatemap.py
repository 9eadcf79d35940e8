"""What the gate sees as a table over boost and duty, so that a simulation need not solve plumbing.

Source of every number is ``rig.gate_sees``; in between the table is linear.
"""

from __future__ import annotations

import bisect
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.expect import is_pulsed
from expert.bench.pneumatics import stepped
from expert.bench.rig import LOWER, UPPER, Air, Rig, Setting, gate_sees, network_of, shut_in_m3

# Gauge. The first is vacuum in the manifold without boost.
_PRESSURES_PA: Final = (-60e3, 0.0, 70e3, 150e3, 300e3)
_DUTIES: Final = (0.0, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0)
_LAG_STEP_S: Final = 0.01
_LAG_MOST_S: Final = 3.0
_LAG_AT_PA: Final = 100e3
_CHANGED_PA: Final = 500.0

Rows = tuple[tuple[float, ...], ...]


class Seen(NamedTuple):
    """Gauge pressures on both sides of the diaphragm, and what the plumbing lets out."""

    lower_pa: float
    upper_pa: float
    lost_kg_s: float


Column = tuple[float, ...]


class Sight:
    """What the gate sees at one duty, as lines over the pressures of the table."""

    __slots__ = ("_by_manifold", "_lost", "_lower", "_upper")

    def __init__(
        self, lower: Column, upper: Column, lost: Column, by_manifold: tuple[bool, bool]
    ) -> None:
        self._lower, self._upper, self._lost = lower, upper, lost
        self._by_manifold = by_manifold

    def lower_pa(self, boost_pa: float, manifold_pa: float) -> float:
        """Below the diaphragm."""
        decides = manifold_pa if self._by_manifold[0] else boost_pa
        return _along(_PRESSURES_PA, self._lower, decides)

    def upper_pa(self, boost_pa: float, manifold_pa: float) -> float:
        """Above it."""
        decides = manifold_pa if self._by_manifold[1] else boost_pa
        return _along(_PRESSURES_PA, self._upper, decides)

    def lost_kg_s(self, boost_pa: float, manifold_pa: float) -> float:
        """What the plumbing lets out."""
        decides = manifold_pa if self._by_manifold[0] else boost_pa
        lost = _along(_PRESSURES_PA, self._lost, decides)
        return lost if lost > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class GateMap:
    """A table of what the gate sees, and how long it takes to see it.

    ``by_manifold`` says for the lower and the upper side whether manifold pressure is what decides
    instead of boost before the throttle. ``shut_in_m3`` is the air shut in above the diaphragm
    while the solenoid rests, None where there is none.
    """

    duties: tuple[float, ...]
    lower: Rows
    upper: Rows
    lost: Rows
    by_manifold: tuple[bool, bool]
    lag_s: float
    shut_in_m3: float | None = None

    def seen(self, boost_pa: float, manifold_pa: float, duty: float) -> Seen:
        """By interpolation, at the ends of the table the ends."""
        sight = self.at(duty)
        return Seen(
            sight.lower_pa(boost_pa, manifold_pa),
            sight.upper_pa(boost_pa, manifold_pa),
            sight.lost_kg_s(boost_pa, manifold_pa),
        )

    def at(self, duty: float) -> Sight:
        """The table at one duty."""
        tables = (self.lower, self.upper, self.lost)
        lower, upper, lost = (
            tuple(_along(self.duties, row, duty) for row in rows) for rows in tables
        )
        return Sight(lower, upper, lost, self.by_manifold)


def _along(grid: tuple[float, ...], values: Column, at: float) -> float:
    """Values over a grid, linear in between, at its ends the ends."""
    i = bisect.bisect_right(grid, at)
    if i == 0:
        return values[0]
    low, near = grid[i - 1], values[i - 1]
    if i == len(grid):
        return near
    return near + (values[i] - near) * ((at - low) / (grid[i] - low))


@dataclass(frozen=True, slots=True, eq=False)
class _Kept:
    """A rig by which a table can be kept: equal when everything in it is."""

    rig: Rig

    def _key(self) -> tuple[object, ...]:
        rig = self.rig
        return (
            rig.parts,
            rig.hoses,
            rig.capped,
            tuple(sorted(rig.bores_mm.items())),
            tuple(sorted(rig.splits_mm.items())),
            rig.checks,
            tuple(sorted(rig.restrictors_mm.items())),
            tuple(sorted(rig.pills_mm.items())),
            rig.plugged,
            rig.solenoid_mm,
            rig.chamber_m3,
        )

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept) and self._key() == other._key()


def gate_map(rig: Rig, setting: float | None, ambient_pa: float, hertz: float) -> GateMap:
    """The table of a rig; ``setting`` fixes a controller by hand. Tables once made are kept."""
    duties = _DUTIES if setting is None and is_pulsed(rig) else (setting or 0.0,)
    return _made(_Kept(rig), duties, round(ambient_pa, -2), hertz)


@lru_cache(maxsize=2048)
def _made(kept: _Kept, duties: tuple[float, ...], ambient_pa: float, hertz: float) -> GateMap:
    rig = kept.rig
    rows = []
    for pressure in _PRESSURES_PA:
        air = Air(max(pressure, 0.0), pressure, ambient_pa)
        rows.append([gate_sees(rig, air, duty, hertz) for duty in duties])
    lower, upper, lost = (
        tuple(tuple(float(getattr(one, name)) for one in row) for row in rows)
        for name in ("lower_pa", "upper_pa", "lost_kg_s")
    )
    return GateMap(
        duties, lower, upper, lost, _by_manifold(rig, duties), lag_s(rig), shut_in_m3(rig)
    )


def _by_manifold(rig: Rig, duties: tuple[float, ...]) -> tuple[bool, bool]:
    """Does a side of the diaphragm change when only the manifold does?"""
    changed = [False, False]
    for duty in (duties[0], duties[-1]):
        both = gate_sees(rig, Air(_LAG_AT_PA, _LAG_AT_PA), duty)
        less = gate_sees(rig, Air(_LAG_AT_PA, 0.0), duty)
        changed[0] |= abs(both.lower_pa - less.lower_pa) > _CHANGED_PA
        changed[1] |= abs(both.upper_pa - less.upper_pa) > _CHANGED_PA
    return changed[0], changed[1]


def lag_s(rig: Rig) -> float:
    """How long the gate takes to see 63 % of a sudden boost, by the network itself.

    At rest, or where nothing arrives then, in the driven position.
    """
    for powered in (False, True):
        air = Air(_LAG_AT_PA, _LAG_AT_PA)
        final = gate_sees(rig, air, 1.0 if powered else 0.0)
        sides = [(LOWER, final.lower_pa), (UPPER, final.upper_pa)]
        name, goal = max(sides, key=lambda side: abs(side[1]))
        if abs(goal) < _CHANGED_PA:
            continue
        network = network_of(rig, air, Setting(0.0))
        if name not in network.volumes_m3:
            continue
        now = dict.fromkeys(network.volumes_m3, SEA_LEVEL_PA)
        seconds = 0.0
        while seconds < _LAG_MOST_S:
            now = stepped(network, now, powered, _LAG_STEP_S)
            seconds += _LAG_STEP_S
            if (now[name] - SEA_LEVEL_PA) / goal >= 0.63:
                return seconds
        return _LAG_MOST_S
    return 0.0
