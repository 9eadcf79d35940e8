"""A whole car: ``expert/bench/car.py``."""

from __future__ import annotations

import pytest

from expert.bench.car import USUAL_RISE, Bypass, hole_m2, share_holding, sized, sound_car
from expert.bench.expect import duty_for
from tests.bench.cars import PLACE, RIGS, SPRING_PA, boost_kpa, car, held


@pytest.mark.parametrize("name", ["internal", "external", "upper", "four"])
def test_the_table_is_a_duty_that_usual_installations_take(name: str) -> None:
    """The same question put to the network itself, without the table."""
    found = duty_for(RIGS[name], SPRING_PA, USUAL_RISE * SPRING_PA, PLACE)
    assert found is not None
    assert found.high is not None
    assert found.low - 0.03 <= car(name).control.table <= found.high + 0.03


@pytest.mark.parametrize("name", ["internal", "upper", "four"])
def test_a_sound_car_holds_its_target(name: str) -> None:
    row = held(car(name), 4_000.0, 8.0, None)
    assert boost_kpa(row) == pytest.approx(USUAL_RISE * SPRING_PA / 1e3, abs=4.0)


@pytest.mark.parametrize("name", ["ball", "bleed"])
def test_a_hand_controller_is_set_for_the_target(name: str) -> None:
    one = car(name)
    assert one.setting is not None
    assert 0.0 < one.setting < 1.0
    assert boost_kpa(held(one, 4_000.0)) > SPRING_PA / 1e3 + 12.0


def test_without_any_control_the_spring_is_the_target() -> None:
    assert sound_car(RIGS["direct"], SPRING_PA, PLACE, target_pa=150e3).target_pa == SPRING_PA


def test_a_higher_target_takes_more_duty() -> None:
    low, high = (
        share_holding(RIGS["internal"], SPRING_PA, boost, PLACE) for boost in (90e3, 140e3)
    )
    assert 0.0 < low < high < 1.0


def test_what_opens_a_bypass_valve() -> None:
    boosted, lifted = (200e3, 198e3, 100e3), (200e3, 40e3, 100e3)
    manifold = Bypass("manifold")
    assert manifold.open_m2(*boosted, off=False) == 0.0
    assert manifold.open_m2(*lifted, off=True) == manifold.area_m2
    assert Bypass("ambient").open_m2(*boosted, off=False) > 0.0
    assert Bypass("pre-throttle").open_m2(*lifted, off=True) == 0.0
    assert Bypass("vacuum").open_m2(*boosted, off=False) == 0.0
    assert Bypass("vacuum").open_m2(*lifted, off=True) > 0.0
    assert Bypass("vacuum", opens_on_lift=False).open_m2(*lifted, off=True) == 0.0
    assert Bypass("none").open_m2(*lifted, off=True) == 0.0


def test_the_bypass_is_that_of_the_rig() -> None:
    named = {name: car(name).bypass.reference for name in ("internal", "bypass", "vacuum")}
    assert named == {"internal": "none", "bypass": "manifold", "vacuum": "vacuum"}


def test_area_of_a_hole() -> None:
    assert hole_m2(10.0) == pytest.approx(78.54e-6, rel=1e-4)


@pytest.mark.parametrize("litres", [1.2, 3.5])
def test_size_changes_flows_not_pressures(litres: float) -> None:
    sound = held(car("internal"), 4_000.0, 8.0)
    other = held(sized(car("internal"), litres), 4_000.0, 8.0)
    assert boost_kpa(other) == pytest.approx(boost_kpa(sound), abs=1.5)
    assert other.air_kg_s / sound.air_kg_s == pytest.approx(litres / 2.0, rel=0.02)
    assert other.gate_kg_s / other.air_kg_s == pytest.approx(
        sound.gate_kg_s / sound.air_kg_s, abs=0.02
    )


def test_the_sensor_of_a_sound_car_reads_past_its_target() -> None:
    one = sound_car(RIGS["internal"], 150e3, PLACE)
    assert one.sensor.most_pa > PLACE.ambient_pa + one.control.cut_pa
