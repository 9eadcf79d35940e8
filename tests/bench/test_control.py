"""Sensor, solenoid and map: ``expert/bench/control.py``."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.control import (
    CUT_S,
    CUT_THROTTLE,
    Control,
    Memory,
    Sensor,
    Solenoid,
    commanded,
    throttle_of,
)

MAP = Control(100e3, table=0.4, cut_pa=135e3)
shares = st.floats(0.0, 1.0)


def test_a_sound_sensor_reads_what_is_there_and_others_do_not() -> None:
    assert Sensor().read_pa(180e3, 100e3) == 180e3
    assert Sensor(offset_pa=-20e3).read_pa(180e3, 100e3) == 160e3
    assert Sensor(sees=0.0).read_pa(180e3, 100e3) == 100e3
    assert Sensor(most_pa=150e3).read_pa(180e3, 100e3) == 150e3


@given(shares)
def test_what_the_valve_makes_of_a_duty(duty: float) -> None:
    assert Solenoid().driven(duty) == pytest.approx(duty)
    assert Solenoid(inverted=True).driven(duty) == pytest.approx(1.0 - duty)
    assert Solenoid(stuck=1.0).driven(duty) == 1.0
    assert Solenoid(ground_ohm=1.0).driven(duty) == 1.0
    assert Solenoid(coil_ohm=math.inf).driven(duty) == Solenoid(coil_ohm=0.4).driven(duty) == 0.0
    assert Solenoid(plugged=False).driven(duty) == Solenoid(supply_v=6.0).driven(duty) == 0.0
    assert Solenoid(wire_ohm=math.inf).driven(duty) == 0.0
    assert 0.2 <= Solenoid(leak=0.2).driven(duty) <= 0.8
    assert Solenoid(slow=True).driven(duty) == (
        0.0 if duty <= 0.6 else pytest.approx(min((duty - 0.6) / 0.2, 1.0))
    )


@given(st.floats(0.0, 250e3), st.lists(st.floats(0.0, 250e3), max_size=30))
def test_duty_stays_in_its_range(boost: float, before: list[float]) -> None:
    memory = Memory()
    for one in before:
        commanded(MAP, memory, one, None, loaded=True)
    assert 0.0 <= commanded(MAP, memory, boost, None, loaded=True) <= MAP.duty_most


def test_the_map_holds_the_gate_shut_then_corrects() -> None:
    assert commanded(MAP, Memory(), 30e3, None, loaded=True) == MAP.duty_most
    below = commanded(MAP, Memory(), 90e3, None, loaded=True)
    above = commanded(MAP, Memory(), 110e3, None, loaded=True)
    assert above < 0.4 < below
    assert commanded(MAP, Memory(), 90e3, 0.2, loaded=True) == 0.2
    assert commanded(MAP, Memory(), 90e3, 0.2, loaded=False) == 0.0
    assert commanded(Control(100e3, 0.4, duty_taken=True), Memory(), 90e3, 0.2, loaded=True) == 0.0


def test_the_throttle_closes_over_the_limit_and_opens_again() -> None:
    memory = Memory()
    assert throttle_of(MAP, memory, 1.0, 134e3, 0.0) == 1.0
    assert throttle_of(MAP, memory, 1.0, 136e3, 1.0) == CUT_THROTTLE
    assert throttle_of(MAP, memory, 1.0, 50e3, 1.0 + 0.9 * CUT_S) == CUT_THROTTLE
    assert throttle_of(MAP, memory, 1.0, 50e3, 1.0 + 1.1 * CUT_S) == 1.0
    assert memory.cuts == 1
    assert throttle_of(MAP, memory, 0.05, 136e3, 3.0) == 0.05
