"""A whole simulated car: plumbing, gate, turbo, engine, control and the place where it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from expert.bench.compressor import Compressor
from expert.bench.control import CUT_OVER_PA, SENSOR_MOST_PA, Control, Sensor, Solenoid
from expert.bench.drive import Vehicle
from expert.bench.engine import Engine
from expert.bench.expect import Place, is_pulsed
from expert.bench.gatemap import GateMap, gate_map
from expert.bench.rig import Rig
from expert.bench.turbine import Turbine
from expert.bench.wastegate import Wastegate, external, internal

# What a target is to its spring where none is given: assumed.
USUAL_RISE: Final = 1.5
# From the source to the gate: common practice, no source.
USUAL_HOSE_M: Final = 0.8
_HALVINGS: Final = 40
# How far a sensor that suits its car reads past the target: common practice, no source.
_SENSOR_ROOM_PA: Final = 80e3


@dataclass(frozen=True, slots=True)
class Bypass:
    """The bypass valve on the charge pipe.

    ``reference`` says what holds it shut: ``manifold``, ``ambient`` (its hose is off),
    ``pre-throttle``, or ``vacuum`` for one that is opened by a vacuum pump, with what it does in
    boost and on lift-off. ``none``: there is no valve.
    """

    reference: str = "none"
    spring_pa: float = 30e3
    area_m2: float = 5e-4
    leak_m2: float = 0.0
    opens_in_boost: bool = False
    opens_on_lift: bool = True

    def open_m2(self, charge_pa: float, manifold_pa: float, ambient_pa: float, off: bool) -> float:
        """Area that is open; ``off`` is a driver whose foot is off the pedal."""
        if self.reference == "none":
            return 0.0
        if self.reference == "vacuum":
            opened = self.opens_on_lift if off else self.opens_in_boost
            return self.leak_m2 + (self.area_m2 if opened else 0.0)
        behind_pa = charge_pa
        if self.reference != "pre-throttle":
            behind_pa = manifold_pa if self.reference == "manifold" else ambient_pa
        over = charge_pa - behind_pa - self.spring_pa
        if over <= 0.0:
            return self.leak_m2
        return self.leak_m2 + self.area_m2 * min(over / 10e3, 1.0)


@dataclass(frozen=True, slots=True)
class Car:
    """Everything that decides what a log shows. Losses are Pa for a (kg/s)^2.

    ``setting`` is where the screw of a controller by hand stands.

    Volumes of pipes and manifold are published generic parameters, rounded up for a charge cooler;
    the rotor is heavier than the published generic 3e-5 kg m2; losses are assumed, and give 2, 5
    and 15 kPa at 0.2 kg/s.
    """

    rig: Rig
    wastegate: Wastegate
    control: Control
    place: Place = Place()
    setting: float | None = None
    engine: Engine = Engine()
    compressor: Compressor = Compressor()
    turbine: Turbine = Turbine()
    vehicle: Vehicle = Vehicle()
    sensor: Sensor = Sensor()
    # The gauge on the dash, which no log shows.
    gauge: Sensor = Sensor()
    solenoid: Solenoid = Solenoid()
    bypass: Bypass = Bypass()
    rotor_kg_m2: float = 5e-5
    mechanical: float = 0.95
    rubbing_n_m: float = 0.0
    # Oil drags a little at any speed, in N m for a rad/s: assumed.
    oil_n_m_s: float = 1.5e-6
    inlet_loss: float = 50e3
    cooler_loss: float = 125e3
    exhaust_loss: float = 375e3
    cooler: float = 0.8
    charge_m3: float = 8e-3
    exhaust_m3: float = 2.5e-3
    charge_leak_m2: float = 0.0
    exhaust_leak_m2: float = 0.0
    extra_lag_s: float = 0.0
    # Both sides of the diaphragm feel this share of what the table says.
    signal_share: float = 1.0
    # Signal that only rises: a check valve keeps what came, or a hole that lets it out is shut.
    keeps_signal: bool = False
    one_way: bool = False
    # What is seen of the hoses of the signal: how long they are, and water in them.
    hose_m: float = USUAL_HOSE_M
    wet: bool = False
    tap_moves: bool = False
    # The share of its setting that a controller by hand really gives.
    controller_gives: float = 1.0
    target_pa: float = 0.0
    spring_pa: float = 0.0

    def gate_map(self) -> GateMap:
        """What the gate sees of this plumbing."""
        setting = None if self.setting is None else self.setting * self.controller_gives
        return gate_map(self.rig, setting, self.place.ambient_pa, self.control.hertz)


def sound_car(
    rig: Rig,
    spring_pa: float,
    place: Place,
    *,
    target_pa: float | None = None,
) -> Car:
    """A car with nothing wrong, its table made for its target.

    A setup in which nothing can raise boost has its spring as its target.
    """
    gate = external(spring_pa) if "external-gate" in rig.parts else internal(spring_pa)
    pulsed = is_pulsed(rig)
    steerable = pulsed or not rig.parts.isdisjoint(("ball-controller", "bleed-controller"))
    wanted = target_pa if target_pa is not None else USUAL_RISE * spring_pa
    goal = wanted if steerable else spring_pa
    share = share_holding(rig, spring_pa, goal, place) if steerable else 0.0
    control = Control(
        goal, share if pulsed else 0.0, cut_pa=goal + CUT_OVER_PA, has_solenoid=pulsed
    )
    return Car(
        rig,
        gate,
        control,
        place,
        setting=None if pulsed else share,
        bypass=Bypass(_reference(rig)),
        sensor=Sensor(most_pa=max(SENSOR_MOST_PA, place.ambient_pa + goal + _SENSOR_ROOM_PA)),
        target_pa=goal,
        spring_pa=spring_pa,
    )


def _reference(rig: Rig) -> str:
    """What holds the bypass valve of this rig shut."""
    if "manifold-bypass" in rig.parts:
        return "manifold"
    return "vacuum" if "recirculating-bypass" in rig.parts else "none"


def share_holding(rig: Rig, spring_pa: float, boost_pa: float, place: Place) -> float:
    """The duty, or share of a controller's travel, at which a boost makes the gate see its spring.

    By bisection over the table of the gate; what the gate sees falls as the share rises.
    """

    def sees(share: float) -> float:
        setting = None if is_pulsed(rig) else share
        table = gate_map(rig, setting, place.ambient_pa, Control(0.0).hertz)
        seen = table.seen(boost_pa, boost_pa, share)
        return seen.lower_pa - seen.upper_pa

    low, high = 0.0, 1.0
    for _ in range(_HALVINGS if is_pulsed(rig) else 12):
        middle = (low + high) / 2.0
        low, high = (middle, high) if sees(middle) > spring_pa else (low, middle)
    return (low + high) / 2.0


def sized(car: Car, litres: float) -> Car:
    """The car with an engine of another size, and a turbo, a gate and pipes that suit it.

    Areas and flows go with displacement, diameters with its root, losses with its square. What
    pressures do stays as it was.
    """
    size = litres * 1e-3 / car.engine.displacement_m3
    long = math.sqrt(size)
    gate = car.wastegate.gate
    return replace(
        car,
        engine=replace(
            car.engine,
            displacement_m3=car.engine.displacement_m3 * size,
            throttle_m2=car.engine.throttle_m2 * size,
            inertia_kg_m2=car.engine.inertia_kg_m2 * size,
            exhaust_k_per_kg_s=car.engine.exhaust_k_per_kg_s / size,
        ),
        compressor=replace(
            car.compressor,
            diameter_m=car.compressor.diameter_m * long,
            speed_most=car.compressor.speed_most / long,
        ),
        turbine=replace(
            car.turbine,
            capacity=car.turbine.capacity * size,
            diameter_m=car.turbine.diameter_m * long,
        ),
        wastegate=replace(
            car.wastegate,
            port_m=car.wastegate.port_m * long,
            gate=replace(
                gate,
                diaphragm_m2=gate.diaphragm_m2 * size,
                preload_n=gate.preload_n * size,
                rate_n_m=gate.rate_n_m * long,
                travel_m=gate.travel_m * long,
                valve_m2=gate.valve_m2 * size,
            ),
        ),
        vehicle=replace(
            car.vehicle,
            mass_kg=car.vehicle.mass_kg * long,
            clutch_n_m=car.vehicle.clutch_n_m * size,
        ),
        rotor_kg_m2=car.rotor_kg_m2 * long**5,
        oil_n_m_s=car.oil_n_m_s * size**2,
        inlet_loss=car.inlet_loss / size**2,
        cooler_loss=car.cooler_loss / size**2,
        exhaust_loss=car.exhaust_loss / size**2,
        charge_m3=car.charge_m3 * size,
        exhaust_m3=car.exhaust_m3 * size,
    )


def hole_m2(diameter_mm: float) -> float:
    """Area of a round hole."""
    return math.pi / 4.0 * (diameter_mm * 1e-3) ** 2


def with_rig(car: Car, rig: Rig) -> Car:
    """The car with other plumbing, its map as it was."""
    return replace(car, rig=rig)
