"""The simulation: a car through the parts of a session, in small steps. Pressures absolute.

Volumes fill by m R T / V, the shaft turns by power over speed, the gate moves by its forces. Each
pressure is stepped half implicitly (one Newton step of the backward formula), which is stable for
any step length; the two volumes are taken one after the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final, NamedTuple

from expert.bench.air import GAS_CONSTANT, SEA_LEVEL_PA, compressed_k, density_kg_m3
from expert.bench.car import Car
from expert.bench.compressor import compressor_w
from expert.bench.control import CONTROL_STEP_S, Memory, commanded, throttle_of
from expert.bench.drive import moved
from expert.bench.engine import behind_throttle
from expert.bench.flow import OF_AIR
from expert.bench.plumbing import Plumbing
from expert.bench.turbine import OF_EXHAUST, R_EXHAUST
from expert.bench.wastegate import Wastegate

STEP_S: Final = 0.002
LOG_S: Final = 0.05
_THROTTLE_TAU_S: Final = 0.05
_LIFT_TAU_S: Final = 0.015
_FLOW_TAU_S: Final = 0.01
_PROBE_PA: Final = 50.0
# Air through a wheel that hardly turns: assumed.
_STANDING_M2: Final = 1.2e-3
# A wheel past its surge line throws air back until pressure has fallen by this share: assumed.
_SURGE_BACK: Final = 0.25
_SURGE_ENDS: Final = 0.90
# On overrun the idle air keeps the manifold at this share of the pressure before the throttle.
_OVERRUN: Final = 0.22
_LIFT_OFF: Final = 0.05
_PER_STEP: Final = round(CONTROL_STEP_S / STEP_S)
_PER_ROW: Final = round(LOG_S / STEP_S)
# A driver who sees the throttle shut lifts after this time.
_DRIVER_S: Final = 0.6
# What a leak passes of its area: assumed.
_LEAK_DISCHARGE: Final = 0.7


class Segment(NamedTuple):
    """A part of a session.

    With ``rpm`` the engine speed goes from the first value (None: from where it is) to the second
    whatever the torque, else it is free and the part ends at the limit of the engine. ``duty`` None
    is the table's.
    """

    name: str
    seconds: float
    pedal: float
    gear: int = 3
    rpm: tuple[float | None, float] | None = None
    duty: float | None = 0.0


class Row(NamedTuple):
    """One line of a log as it truly was, and what the control unit believed. SI, absolute."""

    time_s: float
    segment: int
    rpm: float
    road_m_s: float
    gear: int
    pedal: float
    throttle: float
    manifold_pa: float
    charge_pa: float
    housing_pa: float
    read_pa: float
    ambient_pa: float
    target_pa: float
    duty: float
    driven: float
    lower_pa: float
    upper_pa: float
    lift_m: float
    air_kg_s: float
    gate_kg_s: float
    turbine_kg_s: float
    p3_pa: float
    p4_pa: float
    t3_k: float
    intake_k: float
    shaft_rad_s: float
    torque_n_m: float
    mixture: float
    surging: bool


@dataclass(slots=True)
class State:
    """What changes from one step to the next."""

    charge_pa: float
    p3_pa: float
    p4_pa: float
    intake_k: float
    engine_rad_s: float = 0.0
    road_m_s: float = 0.0
    shaft: float = 50.0
    throttle: float = 0.0
    manifold_pa: float = 0.0
    compressor_kg_s: float = 0.0
    air_kg_s: float = 0.0
    lower_pa: float = 0.0
    upper_pa: float = 0.0
    lift_m: float = 0.0
    gate_kg_s: float = 0.0
    turbine_kg_s: float = 0.0
    t3_k: float = 900.0
    torque_n_m: float = 0.0
    housing_pa: float = 0.0
    duty: float = 0.0
    driven: float = 0.0
    surging: bool = False
    surged_at: float = 1.0
    began_rpm: float = 0.0
    gear: int = 0
    memory: Memory = field(default_factory=Memory)


def at_rest(car: Car) -> State:
    """The car with its engine off."""
    ambient = car.place.ambient_pa
    return State(
        ambient, ambient, ambient, car.place.ambient_k, manifold_pa=ambient, housing_pa=ambient
    )


def run(car: Car, segments: list[Segment]) -> Iterator[Row]:
    """The rows of a session, one every ``LOG_S`` seconds."""
    state = at_rest(car)
    plumbing = Plumbing(car)
    density = density_kg_m3(car.place.ambient_pa, car.place.ambient_k)
    step = 0
    for number, segment in enumerate(segments):
        cuts = state.memory.cuts
        lifts_at: float | None = None
        begins = step
        _enter(car, state, segment)
        while (step - begins) * STEP_S < segment.seconds - 1e-9:
            now = step * STEP_S
            if state.memory.cuts > cuts and lifts_at is None:
                lifts_at = now + _DRIVER_S
            if lifts_at is not None and now >= lifts_at:
                break
            if _at_limit(car, state, segment):
                break
            if step % _PER_STEP == 0:
                _steer(car, state, plumbing, segment, now)
            if segment.rpm is not None:
                _turn_over(car, state, segment, (step - begins) * STEP_S)
            _advance(car, state, plumbing, segment.pedal, now)
            if segment.rpm is None:
                _roll(car, state, segment.gear, density)
            if step % _PER_ROW == 0:
                yield _row(car, state, number, segment, now)
            step += 1


def _at_limit(car: Car, state: State, segment: Segment) -> bool:
    free = segment.rpm is None and segment.pedal > _LIFT_OFF
    return free and _rpm(state) >= car.engine.limit_rpm


def _rpm(state: State) -> float:
    return state.engine_rad_s * 60.0 / math.tau


def _enter(car: Car, state: State, segment: Segment) -> None:
    state.began_rpm = _rpm(state)
    if segment.rpm is not None and segment.rpm[0] is not None:
        state.began_rpm = segment.rpm[0]
    state.engine_rad_s = state.began_rpm * math.tau / 60.0
    if segment.rpm is None and segment.gear != state.gear:
        # A change of gear: the engine takes the speed of the road.
        state.engine_rad_s = state.road_m_s * car.vehicle.gearing(segment.gear)
    state.gear, state.road_m_s = segment.gear, 0.0
    if segment.name not in ("key-on", "idle"):
        state.road_m_s = state.engine_rad_s / car.vehicle.gearing(segment.gear)


def _steer(car: Car, state: State, plumbing: Plumbing, segment: Segment, now: float) -> None:
    """The control unit's own step: duty by what its sensor says."""
    ambient = car.place.ambient_pa
    boost = car.sensor.read_pa(state.manifold_pa, ambient) - ambient
    loaded = segment.pedal > 0.5 and state.engine_rad_s > 0.0
    if now < state.memory.cut_until_s:
        loaded = False
    state.duty = commanded(car.control, state.memory, boost, segment.duty, loaded)
    driven = car.solenoid.driven(state.duty)
    if driven != state.driven:
        plumbing.drive(driven)
        state.driven = driven


def _turn_over(car: Car, state: State, segment: Segment, into_s: float) -> None:
    """The engine at the speed that is given for this part of the session."""
    if segment.rpm is None:
        return
    share = into_s / segment.seconds
    rpm = state.began_rpm + (segment.rpm[1] - state.began_rpm) * share
    state.engine_rad_s = rpm * math.tau / 60.0
    if segment.name not in ("key-on", "idle"):
        state.road_m_s = state.engine_rad_s / car.vehicle.gearing(segment.gear)


def _roll(car: Car, state: State, gear: int, density: float) -> None:
    """Engine and car at the speed that the torque gives them."""
    state.engine_rad_s, state.road_m_s = moved(
        car.vehicle,
        gear,
        state.engine_rad_s,
        state.road_m_s,
        torque_n_m=state.torque_n_m,
        inertia_kg_m2=car.engine.inertia_kg_m2,
        density_kg_m3=density,
        step_s=STEP_S,
    )


def _advance(car: Car, state: State, plumbing: Plumbing, pedal: float, now: float) -> None:
    """Throttle, intake, exhaust, gate and torque, one step later."""
    ambient, engine = car.place.ambient_pa, car.engine
    boost = car.sensor.read_pa(state.manifold_pa, ambient) - ambient
    wanted = throttle_of(car.control, state.memory, pedal, boost, now)
    state.throttle += (wanted - state.throttle) * STEP_S / _THROTTLE_TAU_S
    rpm = state.engine_rad_s * 60.0 / math.tau
    _breathe(car, state, plumbing, rpm, pedal < _LIFT_OFF)
    _exhaust(car, state, plumbing.gate)
    _move_gate(car, state, plumbing, now)
    state.torque_n_m = engine.torque_n_m(state.air_kg_s, rpm, state.manifold_pa, state.p3_pa)


def _breathe(car: Car, state: State, plumbing: Plumbing, rpm: float, off: bool) -> None:
    """The intake side: compressor, cooler, leaks, throttle and engine."""
    ambient, inlet_k = car.place.ambient_pa, car.place.ambient_k
    engine, charge, intake_k = car.engine, state.charge_pa, state.intake_k
    drawn = 0.0
    if state.engine_rad_s > 1.0:
        before = state.manifold_pa
        drawn = engine.pumping_m3_s(rpm, state.p3_pa / (before if before > 1e3 else 1e3))
    ratio = behind_throttle(engine.throttle_area_m2(state.throttle), drawn, intake_k)
    manifold = charge * (ratio if ratio > _OVERRUN else _OVERRUN)
    air = drawn * manifold / (GAS_CONSTANT * intake_k)
    flow = state.compressor_kg_s
    inlet_pa = ambient - car.inlet_loss * flow * abs(flow)
    housing = charge + car.cooler_loss * flow * abs(flow)
    unit = car.compressor.unit_kg_s(state.shaft, inlet_pa, inlet_k)
    made = _compressor_kg_s(car, state, housing, inlet_pa, unit)
    hole = car.charge_leak_m2 + car.bypass.open_m2(charge, manifold, ambient, off)
    lost = OF_AIR.flow_kg_s(_LEAK_DISCHARGE * hole, charge, ambient, intake_k)
    lost += plumbing.sight.lost_kg_s(charge - ambient, manifold - ambient)
    slope = (_compressor_kg_s(car, state, housing + _PROBE_PA, inlet_pa, unit) - made) / _PROBE_PA
    slope -= (air + lost) / charge
    filling = GAS_CONSTANT * intake_k / car.charge_m3 * STEP_S
    change = filling * (made - air - lost) / (1.0 - (filling * slope if slope < 0.0 else 0.0))
    state.manifold_pa, state.air_kg_s, state.housing_pa = manifold, air, housing
    charge += change
    state.charge_pa = charge if charge > 0.2 * ambient else 0.2 * ambient
    state.compressor_kg_s = flow + (made - flow) * STEP_S / _FLOW_TAU_S
    _turn(car, state, made, inlet_pa, unit)


def _compressor_kg_s(
    car: Car, state: State, outlet_pa: float, inlet_pa: float, unit_kg_s: float
) -> float:
    """What the wheel moves; below its surge line it throws air back until pressure has fallen."""
    inlet_k, wheel = car.place.ambient_k, car.compressor
    if outlet_pa < inlet_pa:
        standing = OF_AIR.flow_kg_s(_STANDING_M2, inlet_pa, outlet_pa, inlet_k)
        return standing + unit_kg_s * wheel.share_of_unit(state.shaft, 1.0, inlet_k)
    if state.surging:
        return -_SURGE_BACK * wheel.surge_kg_s(unit_kg_s)
    return unit_kg_s * wheel.share_of_unit(state.shaft, outlet_pa / inlet_pa, inlet_k)


def _turn(car: Car, state: State, made: float, inlet_pa: float, unit_kg_s: float) -> None:
    """Surge, temperature behind the compressor, and the balance of power on the shaft."""
    wheel, inlet_k, shaft = car.compressor, car.place.ambient_k, state.shaft
    ratio = max(state.housing_pa / inlet_pa, 1.0)
    if state.surging:
        state.surging = ratio > 1.0 + _SURGE_ENDS * (state.surged_at - 1.0)
    elif ratio > 1.1 and made < wheel.surge_kg_s(unit_kg_s):
        state.surging, state.surged_at = True, ratio
    flow = made if made > 0.0 else 0.0
    efficiency = wheel.efficiency_of(shaft, flow, unit_kg_s)
    hot = compressed_k(inlet_k, ratio, efficiency)
    cooled = hot - car.cooler * (hot - inlet_k)
    state.intake_k += (cooled - state.intake_k) * STEP_S / 0.5
    taken = compressor_w(flow, inlet_k, ratio, efficiency)
    given = car.turbine.power_w(state.turbine_kg_s, shaft, state.p3_pa, state.p4_pa, state.t3_k)
    torque = (car.mechanical * given - taken) / (shaft if shaft > 300.0 else 300.0)
    torque -= car.rubbing_n_m + car.oil_n_m_s * shaft
    shaft += torque / car.rotor_kg_m2 * STEP_S
    state.shaft = shaft if shaft > 10.0 else 10.0


def _exhaust(car: Car, state: State, gate: Wastegate) -> None:
    """The exhaust side: what the engine gives goes through turbine, gate and leaks."""
    ambient, p3 = car.place.ambient_pa, state.p3_pa
    given = state.air_kg_s * (1.0 + 1.0 / car.engine.mixture)
    t3 = car.engine.exhaust_temperature_k(state.air_kg_s)
    # Mufflers are restrictions by flow squared and by density.
    p4 = ambient + car.exhaust_loss * given * given * (SEA_LEVEL_PA / ambient)
    gate_m2, leak_m2 = gate.area_m2(state.lift_m), _LEAK_DISCHARGE * car.exhaust_leak_m2
    probe = p3 + _PROBE_PA
    turbine = car.turbine.flow_kg_s(p3, p4, t3)
    past = OF_EXHAUST.flow_kg_s(gate_m2, p3, p4, t3)
    out = turbine + past + OF_EXHAUST.flow_kg_s(leak_m2, p3, ambient, t3)
    more = (
        car.turbine.flow_kg_s(probe, p4, t3)
        + OF_EXHAUST.flow_kg_s(gate_m2, probe, p4, t3)
        + OF_EXHAUST.flow_kg_s(leak_m2, probe, ambient, t3)
    )
    slope = -(more - out) / _PROBE_PA
    filling = R_EXHAUST * t3 / car.exhaust_m3 * STEP_S
    change = filling * (given - out) / (1.0 - (filling * slope if slope < 0.0 else 0.0))
    p3 += change
    state.p3_pa = p3 if p3 > p4 else p4
    state.p4_pa, state.t3_k = p4, t3
    state.turbine_kg_s, state.gate_kg_s = turbine, past


def _move_gate(car: Car, state: State, plumbing: Plumbing, now: float) -> None:
    """The diaphragm feels the signal late; the valve follows its forces."""
    ambient = car.place.ambient_pa
    boost, manifold = state.housing_pa - ambient, state.manifold_pa - ambient
    sight, share = plumbing.sight, car.signal_share
    if car.solenoid.ripple_hz > 0.0 and 0.02 < state.driven < 0.98:
        pulled = (now * car.solenoid.ripple_hz) % 1.0 < state.driven
        sight, share = (plumbing.pulled if pulled else plumbing.shut), 1.0
    lower = sight.lower_pa(boost, manifold) * share
    upper = sight.upper_pa(boost, manifold) * share
    if not (car.keeps_signal and lower < state.lower_pa):
        state.lower_pa += (lower - state.lower_pa) * STEP_S / plumbing.lag_s
    state.upper_pa += (upper - state.upper_pa) * STEP_S / plumbing.lag_s
    wanted = plumbing.gate.lift_m(
        state.lift_m, state.lower_pa, state.upper_pa, state.p3_pa - state.p4_pa, ambient
    )
    state.lift_m += (wanted - state.lift_m) * STEP_S / _LIFT_TAU_S


def _row(car: Car, state: State, number: int, segment: Segment, now: float) -> Row:
    ambient = car.place.ambient_pa
    return Row(
        now,
        number,
        _rpm(state),
        state.road_m_s,
        segment.gear,
        segment.pedal,
        state.throttle,
        state.manifold_pa,
        state.charge_pa,
        state.housing_pa,
        car.sensor.read_pa(state.manifold_pa, ambient),
        ambient,
        ambient + car.control.target_pa,
        state.duty,
        state.driven,
        state.lower_pa,
        state.upper_pa,
        state.lift_m,
        state.air_kg_s,
        state.gate_kg_s,
        state.turbine_kg_s,
        state.p3_pa,
        state.p4_pa,
        state.t3_k,
        state.intake_k,
        state.shaft,
        state.torque_n_m,
        car.engine.mixture,
        state.surging,
    )
