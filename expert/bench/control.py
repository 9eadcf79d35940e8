"""What steers boost: sensor, duty table with its correction, solenoid, and the throttle's limits.

Boost is gauge Pa here, as the control unit knows it: what its sensor reads, less the barometer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from expert.bench.bounds import within

SENSOR_MOST_PA: Final = 300e3
_LEAST_READ_PA: Final = 10e3
# Boost over the target that closes the throttle, and for how long: common practice, no source.
CUT_OVER_PA: Final = 35e3
CUT_S: Final = 1.0
CUT_THROTTLE: Final = 0.12
# What a meter finds at a sound valve, and the limits beyond which no valve works; assumed.
COIL_OHM: Final = 30.0
BATTERY_V: Final = 12.6
_LEAST_V: Final = 8.0
_SHORT_OHM: Final = 5.0
_OPEN_OHM: Final = 1_000.0
# Feed-back is taken this often, in seconds: assumed.
CONTROL_STEP_S: Final = 0.02


@dataclass(frozen=True, slots=True)
class Sensor:
    """The boost sensor: absolute Pa in, what the control unit believes out.

    ``sees`` is the share of boost that reaches it, less than 1 with its hose off or split.
    """

    offset_pa: float = 0.0
    gain: float = 1.0
    most_pa: float = SENSOR_MOST_PA
    sees: float = 1.0

    def read_pa(self, true_pa: float, ambient_pa: float) -> float:
        """What is read of a manifold pressure."""
        there = ambient_pa + self.sees * (true_pa - ambient_pa)
        return within(self.offset_pa + self.gain * there, _LEAST_READ_PA, self.most_pa)


@dataclass(frozen=True, slots=True)
class Solenoid:
    """How the valve answers a commanded duty.

    ``stuck`` is the share of the time its plunger is where it is when driven, whatever the command;
    ``slow`` is a frequency that is too high for it: it stays at rest until the pulse is long
    enough, and then jumps; ``ripple_hz`` one that is so low that the gate feels each pulse.
    ``leak`` is what seats that pass air make of it: as much at rest as is missing when driven.
    ``sheet_hz`` is the frequency that it is made for.

    The rest is what a meter finds: the coil, its plug and supply, the control wire from end to
    end, and that wire to ground with the key off. Resistances in ohm, infinite where nothing is
    joined. 30 ohm and 12.6 V are common practice, no source.
    """

    stuck: float | None = None
    inverted: bool = False
    slow: bool = False
    ripple_hz: float = 0.0
    leak: float = 0.0
    sheet_hz: float = 30.0
    coil_ohm: float = COIL_OHM
    plugged: bool = True
    supply_v: float = BATTERY_V
    wire_ohm: float = 0.3
    ground_ohm: float = math.inf

    @property
    def moves(self) -> bool:
        """Does the plunger move when its coil gets a current?"""
        return self.stuck is None and _SHORT_OHM < self.coil_ohm < _OPEN_OHM

    def driven(self, duty: float) -> float:
        """The share of the time that the valve is really driven."""
        if self.stuck is not None:
            return self.stuck
        if not (self.moves and self.plugged and self.supply_v > _LEAST_V):
            return 0.0
        if self.ground_ohm < _SHORT_OHM:
            return 1.0
        if self.wire_ohm > _OPEN_OHM:
            return 0.0
        if self.inverted:
            duty = 1.0 - duty
        if self.slow:
            return min(max((duty - 0.6) / 0.2, 0.0), 1.0)
        return self.leak + (1.0 - 2.0 * self.leak) * duty


@dataclass(frozen=True, slots=True)
class Control:
    """The map of the control unit, as far as boost goes.

    ``table`` is the duty at the target; ``spool_share`` the share of the target up to which the
    gate is kept shut; the gains are duty for a Pa. ``throttle_most`` and ``cut_pa`` are limits;
    ``limp`` says that a stored fault sets them. ``made_for`` is the kind of valve of the table,
    empty for the one that is fitted.
    """

    target_pa: float
    table: float = 0.0
    spool_share: float = 0.6
    gain: float = 1.0e-6
    integral: float = 2.0e-6
    duty_most: float = 0.85
    cut_pa: float = 0.0
    throttle_most: float = 1.0
    duty_taken: bool = False
    hertz: float = 30.0
    has_solenoid: bool = True
    limp: bool = False
    made_for: str = ""


@dataclass(slots=True)
class Memory:
    """What a control unit remembers from one step to the next."""

    sum_pa_s: float = 0.0
    cut_until_s: float = -1.0
    cuts: int = 0


def commanded(
    control: Control, memory: Memory, boost_pa: float, fixed: float | None, loaded: bool
) -> float:
    """The duty that is asked for: a fixed one, or that of the table with its correction."""
    if control.duty_taken or not control.has_solenoid:
        return 0.0
    if fixed is not None:
        return fixed if loaded else 0.0
    if not loaded:
        memory.sum_pa_s = 0.0
        return 0.0
    if boost_pa < control.spool_share * control.target_pa:
        memory.sum_pa_s = 0.0
        return control.duty_most
    short = control.target_pa - boost_pa
    duty = control.table + control.gain * short + control.integral * memory.sum_pa_s
    if 0.0 < duty < control.duty_most or short * memory.sum_pa_s < 0.0:
        memory.sum_pa_s += short * CONTROL_STEP_S
    return min(max(duty, 0.0), control.duty_most)


def throttle_of(
    control: Control, memory: Memory, pedal: float, boost_pa: float, now_s: float
) -> float:
    """The throttle that is asked for: the pedal, unless a limit takes it back."""
    if boost_pa > control.cut_pa and now_s >= memory.cut_until_s:
        memory.cut_until_s = now_s + CUT_S
        memory.cuts += 1
    if now_s < memory.cut_until_s:
        return min(pedal, CUT_THROTTLE)
    return pedal if pedal < control.throttle_most else control.throttle_most
