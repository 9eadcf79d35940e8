"""The simulation: ``expert/bench/pull.py``."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from fluids.compressible import isentropic_T_rise_compression
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from expert.bench import pull
from expert.bench.air import GAMMA, standard_pressure_pa
from expert.bench.car import hole_m2, sized, sound_car
from expert.bench.compressor import CP_AIR
from expert.bench.expect import Place
from expert.bench.faults import FAULTS, FaultError, broken
from expert.bench.pull import Segment, run
from expert.bench.session import drive
from expert.bench.turbine import CP_EXHAUST, balanced_ratio
from tests.bench.cars import RIGS, at_rpm, boost_kpa, car, held, pulled

PSI = 6.894757293168  # kPa; NIST Special Publication 811, appendix B.8


@pytest.mark.parametrize("rpm", [3_000.0, 4_500.0, 6_000.0])
@pytest.mark.parametrize("name", ["internal", "external"])
def test_steady_ratio_is_that_of_the_textbook_balance(name: str, rpm: float) -> None:
    """Isermann, equation 5.4.17, with efficiencies and flows read from the simulation."""
    one = car(name)
    row = held(one, rpm)
    turbine_efficiency = one.turbine.efficiency(row.shaft_rad_s, row.p3_pa, row.p4_pa, row.t3_k)
    inlet_pa = row.ambient_pa - one.inlet_loss * row.air_kg_s**2
    wheel = one.compressor.efficiency(row.shaft_rad_s, row.air_kg_s, inlet_pa, one.place.ambient_k)
    given_w = turbine_efficiency * row.turbine_kg_s * CP_EXHAUST * row.t3_k
    given_w *= 1.0 - (row.p4_pa / row.p3_pa) ** (0.3 / 1.3)
    kept = one.mechanical - one.oil_n_m_s * row.shaft_rad_s**2 / given_w
    ratio = balanced_ratio(
        row.turbine_kg_s / row.air_kg_s,
        row.t3_k / one.place.ambient_k,
        kept * turbine_efficiency * wheel,
        row.p4_pa / row.p3_pa,
        cp_ratio=CP_EXHAUST / CP_AIR,
    )
    assert row.housing_pa / inlet_pa == pytest.approx(ratio, rel=0.01)


@pytest.mark.parametrize("rpm", [3_000.0, 5_500.0])
def test_what_goes_in_comes_out(rpm: float) -> None:
    """Steady: exhaust = air + fuel = turbine + gate; and the intake as hot as ``fluids`` says."""
    one = car("external")
    row = held(one, rpm, 10.0)
    exhaust = row.air_kg_s * (1.0 + 1.0 / row.mixture)
    assert row.turbine_kg_s + row.gate_kg_s == pytest.approx(exhaust, rel=2e-3)
    inlet_pa = row.ambient_pa - one.inlet_loss * row.air_kg_s**2
    efficiency = one.compressor.efficiency(
        row.shaft_rad_s, row.air_kg_s, inlet_pa, one.place.ambient_k
    )
    hot = isentropic_T_rise_compression(
        one.place.ambient_k, inlet_pa, row.housing_pa, GAMMA, efficiency
    )
    cooled = hot - one.cooler * (hot - one.place.ambient_k)
    assert row.intake_k == pytest.approx(cooled, abs=0.5)


@pytest.mark.parametrize("name", ["internal", "external", "direct", "upper", "four"])
@pytest.mark.parametrize("spring_psi", [6.0, 10.0, 15.0])
def test_boost_without_duty_is_the_spring_within_two_psi(name: str, spring_psi: float) -> None:
    """Common practice, no source: on a sound car, from onset to 5,500 rpm."""
    rows = pulled(car(name, spring_psi * PSI * 1e3), 0.0)
    for rpm in (4_000.0, 5_500.0):
        assert boost_kpa(at_rpm(rows, rpm)) / PSI == pytest.approx(spring_psi, abs=2.0)


@pytest.mark.parametrize("altitude", [1_000.0, 2_500.0])
def test_height_takes_absolute_pressure_not_boost(altitude: float) -> None:
    """A gate's spring is against the air outside; common practice, no source."""
    low = held(car("internal"), 4_500.0)
    place = Place(standard_pressure_pa(altitude), 293.15)
    high = held(car("internal", place=place), 4_500.0)
    assert boost_kpa(high) == pytest.approx(boost_kpa(low), abs=6.0)
    assert high.manifold_pa < low.manifold_pa - 0.7 * (low.ambient_pa - high.ambient_pa)
    assert high.shaft_rad_s > low.shaft_rad_s


@settings(deadline=None, max_examples=12)
@given(st.floats(5.0, 25.0), st.floats(1.1, 1.5), st.sampled_from([3_000.0, 4_500.0]))
def test_a_larger_hole_beside_the_valve_never_makes_more_boost(
    hole_mm: float, larger: float, rpm: float
) -> None:
    def boost(size_mm: float) -> float:
        one = car("internal")
        gate = replace(one.wastegate, leak_m2=hole_m2(size_mm))
        return boost_kpa(held(replace(one, wastegate=gate), rpm, 4.0))

    assert boost(hole_mm * larger) <= boost(hole_mm) + 0.3


@settings(deadline=None, max_examples=8)
@given(st.floats(0.0, 0.6), st.floats(0.05, 0.2))
def test_more_duty_never_makes_less_boost(duty: float, more: float) -> None:
    one = replace(car("internal"), control=replace(car("internal").control, cut_pa=500e3))
    less = boost_kpa(held(one, 4_000.0, 4.0, duty))
    assert boost_kpa(held(one, 4_000.0, 4.0, duty + more)) >= less - 0.3


def test_an_open_signal_runs_to_the_throttle_cut() -> None:
    """Common practice, no source; and the cut brings boost down."""
    one = car("internal")
    rows = pulled(replace(one, rig=replace(one.rig, hoses=())), 0.0)
    assert max(map(boost_kpa, rows)) * 1e3 >= one.control.cut_pa
    assert rows[-1].throttle < 0.2
    assert boost_kpa(rows[-1]) * 1e3 < one.target_pa


def test_a_runaway_rotor_is_held_by_its_own_losses() -> None:
    """Without gate and without limits the efficiency falls off past the limit of speed."""
    one = car("internal")
    blind = replace(one.control, cut_pa=math.inf)
    shut = replace(one.wastegate, stuck_m=0.0)
    row = held(replace(one, control=blind, wastegate=shut), 6_000.0, 8.0)
    assert one.target_pa * 1.5 < (row.manifold_pa - row.ambient_pa) < 400e3
    assert row.shaft_rad_s < 1.2 * one.compressor.speed_most


def test_smaller_steps_change_little(monkeypatch: pytest.MonkeyPatch) -> None:
    def trace() -> list[float]:
        rows = pulled(car("external"), 0.0, 5.0)
        return [boost_kpa(at_rpm(rows, rpm)) for rpm in (2_500.0, 3_000.0, 3_500.0)]

    usual = trace()
    monkeypatch.setattr(pull, "STEP_S", pull.STEP_S / 4.0)
    monkeypatch.setattr(pull, "_PER_STEP", pull._PER_STEP * 4)
    monkeypatch.setattr(pull, "_PER_ROW", pull._PER_ROW * 4)
    assert trace() == pytest.approx(usual, abs=1.5)


def test_a_change_of_gear_keeps_the_road_speed() -> None:
    parts = [
        Segment("pull", 3.0, 1.0, 3, (4_000.0, 5_000.0)),
        Segment("shift", 0.1, 0.0, 4),
    ]
    rows = list(run(car("internal"), parts))
    before, after = ([row for row in rows if row.segment == k] for k in (0, 1))
    assert after[0].road_m_s == pytest.approx(before[-1].road_m_s, rel=0.01)
    assert after[0].rpm / before[-1].rpm == pytest.approx(1.03 / 1.36, rel=0.01)


def test_an_engine_that_stands_breathes_nothing() -> None:
    *_, row = run(car("internal"), [Segment("key-on", 1.0, 0.0, 3, (0.0, 0.0))])
    assert row.air_kg_s == 0.0
    assert row.manifold_pa == pytest.approx(row.ambient_pa, rel=1e-3)


@settings(deadline=None, max_examples=8)
@given(
    st.sampled_from(sorted(RIGS)),
    st.lists(st.sampled_from(sorted(FAULTS)), max_size=3),
    st.floats(20e3, 250e3),
    st.floats(0.0, 4_500.0),
    st.floats(233.0, 333.0),
    st.floats(1.0, 6.0),
    st.integers(0, 99),
)
def test_every_number_of_every_car_is_one(
    name: str,
    causes: list[str],
    spring: float,
    altitude: float,
    kelvin: float,
    litres: float,
    seed: int,
) -> None:
    place = Place(standard_pressure_pa(altitude), kelvin)
    sound = sized(sound_car(RIGS[name], spring, place), litres)
    try:
        one = broken(sound, causes, seed)
    except FaultError:
        reject()
    for row in drive(one, [None]):
        assert all(math.isfinite(value) for value in row)
        assert 0.0 < row.manifold_pa < 1.05 * row.charge_pa < 1.2e6
        assert row.p3_pa >= row.p4_pa >= row.ambient_pa
        assert 0.0 <= row.lift_m <= 0.05
        assert min(row.air_kg_s, row.gate_kg_s, row.turbine_kg_s, row.rpm) >= 0.0
        assert min(row.duty, row.throttle, row.driven) >= 0.0
        assert max(row.duty, row.throttle, row.driven) <= 1.0
