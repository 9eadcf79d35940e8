"""Flow through orifices and restrictions: ``expert/bench/flow.py``."""

from __future__ import annotations

import math

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.bench.air import GAMMA, GAS_CONSTANT
from expert.bench.flow import (
    Nozzle,
    conductance_of,
    conductance_of_bore,
    critical_ratio,
    flow_function,
    orifice_kg_s,
    restriction,
    restriction_kg_s,
)

PRESSURES = st.floats(1e4, 1e6)
CONDUCTANCES = st.floats(1e-12, 1e-6)
RATIOS = st.floats(0.05, 0.6)


def test_critical_ratio() -> None:
    # Sources: gas tables for 1.4; the library fluids.
    assert critical_ratio() == pytest.approx(0.528281788, abs=1e-9)
    for gamma in (1.4, 1.35, 1.30):
        expected = fluids.P_critical_flow(P=1.0, k=gamma)
        assert critical_ratio(gamma) == pytest.approx(expected, rel=1e-12)


def test_flow_function() -> None:
    # Source: gas tables, Psi at the throat for 1.4; M = .5 has p/p0 .843019 and A/A* 1.339844.
    assert flow_function(0.0) == pytest.approx(0.684731456, abs=1e-9)
    assert flow_function(0.2) == flow_function(critical_ratio())
    assert flow_function(0.0) / flow_function(0.843019) == pytest.approx(1.339844, abs=2e-6)
    assert flow_function(1.0) == 0.0


@given(st.floats(1.05, 1.67), st.floats(0.0, 1.2))
def test_a_nozzle_of_any_gas_follows_the_formula(gamma: float, ratio: float) -> None:
    # The formula as the book has it, its powers written out.
    r = min(max(ratio, (2.0 / (gamma + 1.0)) ** (gamma / (gamma - 1.0))), 1.0)
    powers = r ** (2.0 / gamma) - r ** ((gamma + 1.0) / gamma)
    expected = math.sqrt(max(2.0 * gamma / (gamma - 1.0) * powers, 0.0))
    assert Nozzle(gamma, 290.0).function(ratio) == pytest.approx(expected, rel=1e-12)


def test_no_area_passes_nothing() -> None:
    nozzle = Nozzle(GAMMA, GAS_CONSTANT)
    assert nozzle.flow_kg_s(0.0, 200e3, 100e3, 293.15) == 0.0
    assert nozzle.flow_kg_s(1e-5, 200e3, 100e3, 293.15) == orifice_kg_s(1e-5, 200e3, 100e3, 293.15)


def test_where_a_vent_to_the_open_air_chokes() -> None:
    # 101.325 kPa over the critical ratio: 191.801 kPa.
    choked = orifice_kg_s(1e-5, 191_802.0, 101_325.0, 293.15)
    assert choked == pytest.approx(orifice_kg_s(1e-5, 191_802.0, 0.0, 293.15), rel=1e-9)
    free = orifice_kg_s(1e-5, 180_000.0, 101_325.0, 293.15)
    assert free < orifice_kg_s(1e-5, 180_000.0, 0.0, 293.15)


def test_orifice_is_that_of_a_general_library() -> None:
    # fluids.isentropic_flow by way of its nozzle equations: mass flux at the throat, choked.
    area_m2, upstream_pa, kelvin = 2e-5, 300e3, 310.0
    density = upstream_pa / (287.05287 * kelvin)
    throat = density * math.sqrt(1.4 * 287.05287 * kelvin) * (2 / 2.4) ** (2.4 / 0.8)
    assert orifice_kg_s(area_m2, upstream_pa, 1e5, kelvin) == pytest.approx(throat * area_m2)
    assert orifice_kg_s(area_m2, upstream_pa, 1e5, kelvin, discharge=0.5) == pytest.approx(
        throat * area_m2 / 2
    )
    assert orifice_kg_s(area_m2, 1e5, upstream_pa, kelvin) == 0.0
    assert orifice_kg_s(area_m2, 0.0, -1.0, kelvin) == 0.0


def test_restriction_by_the_standard() -> None:
    # ISO 6358 with C 1e-8 m3/(s Pa), b .35, 700 to 100 kPa at 293.15 K: .008295 kg/s, as the
    # documentation of a general solver prints it; to 500 kPa computed by hand.
    assert restriction_kg_s(1e-8, 0.35, 700e3, 100e3) == pytest.approx(0.008295, rel=1e-9)
    assert restriction_kg_s(1e-8, 0.35, 700e3, 500e3) == pytest.approx(0.00686988, rel=1e-6)
    assert restriction_kg_s(1e-8, 0.35, 500e3, 700e3) == pytest.approx(-0.00686988, rel=1e-6)
    cold = restriction_kg_s(1e-8, 0.35, 700e3, 100e3, 273.15)
    assert cold == pytest.approx(0.008295 * math.sqrt(293.15 / 273.15))


def test_an_orifice_has_the_conductance_of_its_choked_flow() -> None:
    area_m2 = math.pi / 4 * 0.003**2
    flow = restriction_kg_s(conductance_of(area_m2), 0.528, 400e3, 100e3)
    assert flow == pytest.approx(orifice_kg_s(area_m2, 400e3, 100e3, 293.15))
    assert conductance_of_bore(3.0, 1.0) == pytest.approx(conductance_of(area_m2))
    assert conductance_of_bore(3.0) == pytest.approx(0.8 * conductance_of(area_m2))


@given(CONDUCTANCES, RATIOS, PRESSURES, PRESSURES)
def test_flow_goes_down_the_pressure_and_turns_with_it(
    conductance: float, ratio: float, one: float, other: float
) -> None:
    flow = restriction_kg_s(conductance, ratio, one, other)
    assert flow == -restriction_kg_s(conductance, ratio, other, one)
    assert flow * (one - other) >= 0.0


@given(CONDUCTANCES, RATIOS, PRESSURES, PRESSURES, st.floats(1.5, 10.0))
def test_flow_scales_with_size_and_with_both_pressures(
    conductance: float, ratio: float, one: float, other: float, factor: float
) -> None:
    flow = restriction_kg_s(conductance, ratio, one, other)
    assert restriction_kg_s(factor * conductance, ratio, one, other) == pytest.approx(factor * flow)
    scaled = restriction_kg_s(conductance, ratio, factor * one, factor * other)
    assert scaled == pytest.approx(factor * flow, rel=1e-6)


@given(CONDUCTANCES, RATIOS, PRESSURES, st.floats(0.0, 1.0))
def test_slopes_are_those_of_the_flow(
    conductance: float, ratio: float, upstream_pa: float, share: float
) -> None:
    downstream_pa = share * upstream_pa
    flow = restriction(conductance, ratio, upstream_pa, downstream_pa)
    small = upstream_pa * 1e-7
    near = (ratio, 0.999, 1.0)
    if any(abs(share - edge) < 1e-4 for edge in near):
        return
    ahead = restriction(conductance, ratio, upstream_pa + small, downstream_pa).kg_s
    behind = restriction(conductance, ratio, upstream_pa - small, downstream_pa).kg_s
    scale = abs(flow.by_upstream) + conductance * 1e-6
    assert (ahead - behind) / (2 * small) == pytest.approx(flow.by_upstream, abs=1e-4 * scale)
    assert flow.by_upstream >= 0.0 >= flow.by_downstream


def test_flow_is_steady_where_its_law_changes() -> None:
    for edge in (0.35, 0.999):
        below = restriction_kg_s(1e-8, 0.35, 2e5, 2e5 * (edge - 1e-9))
        above = restriction_kg_s(1e-8, 0.35, 2e5, 2e5 * (edge + 1e-9))
        assert below == pytest.approx(above, rel=1e-4)
