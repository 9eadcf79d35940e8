"""The car on the road: ``expert/bench/drive.py``."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.drive import Vehicle, moved

CAR = Vehicle()
AIR, JE, STEP = 1.2, 0.16, 0.002


def go(car: Vehicle, torque: float, seconds: float, gear: int = 3) -> tuple[float, float]:
    engine, road = 200.0, 200.0 / car.gearing(gear)
    for _ in range(round(seconds / STEP)):
        engine, road = moved(
            car,
            gear,
            engine,
            road,
            torque_n_m=torque,
            inertia_kg_m2=JE,
            density_kg_m3=AIR,
            step_s=STEP,
        )
    return engine, road


@given(st.integers(1, 5), st.floats(-50.0, 400.0))
def test_locked_engine_and_road_turn_together(gear: int, torque: float) -> None:
    engine, road = go(CAR, torque, 0.2, gear)
    assert engine == pytest.approx(road * CAR.gearing(gear))


@pytest.mark.parametrize("torque", [150.0, 300.0])
def test_energy_goes_into_speed_and_resistance(torque: float) -> None:
    """Work of the engine = kinetic energy of car and engine + work against the load."""
    gear, seconds = 3, 2.0
    engine, road = 200.0, 200.0 / CAR.gearing(gear)
    mass = CAR.mass_kg * (1.0 + CAR.wheel_inertia_share)
    before = 0.5 * mass * road**2 + 0.5 * JE * engine**2
    work = lost = 0.0
    for _ in range(round(seconds / STEP)):
        work += torque * engine * STEP
        lost += CAR.load_n(road, AIR) / CAR.efficiency * road * STEP
        engine, road = moved(
            CAR,
            gear,
            engine,
            road,
            torque_n_m=torque,
            inertia_kg_m2=JE,
            density_kg_m3=AIR,
            step_s=STEP,
        )
    after = 0.5 * mass * road**2 + 0.5 * JE * engine**2
    assert after - before == pytest.approx(work - lost, rel=0.01)


def test_a_weak_clutch_lets_the_engine_run_away_from_the_road() -> None:
    engine, road = go(replace(CAR, clutch_n_m=200.0), 300.0, 1.0)
    sound_engine, sound_road = go(CAR, 300.0, 1.0)
    assert engine > sound_engine + 50.0
    assert road < sound_road
    assert engine > road * CAR.gearing(3) + 50.0


def test_speed_of_a_gear() -> None:
    """6,500 rpm in third: 6500 / 60 * 2 pi * 0.31 / (1.36 * 4.1) = 37.84 m/s."""
    assert CAR.speed_m_s(6_500.0, 3) == pytest.approx(37.84, abs=0.01)
