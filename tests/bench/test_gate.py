"""The balance of forces on a gate: ``expert/bench/gate.py``."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from expert.bench.gate import (
    ADIABATIC,
    ISOTHERMAL,
    Gate,
    area_of_m2,
    of_spring,
    trapped_pa,
)

PSI = 6894.757293168  # NIST Special Publication 811, appendix B.8


def test_a_diaphragm_of_45_mm() -> None:
    # Worked by hand: 45 mm effective is 15.904 cm2; 50 kPa makes 79.52 N; 6 N/mm over 10 mm opens
    # it fully at 87.73 kPa.
    area_m2 = area_of_m2(0.045)
    assert area_m2 == pytest.approx(15.904e-4, rel=1e-4)
    gate = of_spring(50e3, area_m2)
    assert gate.preload_n == pytest.approx(79.52, abs=0.01)
    assert gate.opening_pa() == pytest.approx(50e3)
    assert gate.full_open_pa() == pytest.approx(87.73e3, abs=10)


def test_lift() -> None:
    gate = of_spring(50e3)
    assert gate.lift_m(49e3) == 0.0
    assert gate.lift_m((gate.opening_pa() + gate.full_open_pa()) / 2) == pytest.approx(0.005)
    assert gate.lift_m(200e3) == 0.010


def test_pressure_above_the_diaphragm_adds_to_the_spring() -> None:
    # Common practice, no source: what is let in above the diaphragm is added to the spring.
    gate = of_spring(50e3)
    assert gate.opening_pa(upper_pa=30e3) == pytest.approx(80e3)
    assert gate.lift_m(100e3, upper_pa=100e3) == 0.0


def test_exhaust_pressure_helps_to_open() -> None:
    gate = Gate(valve_m2=area_of_m2(0.038))
    assert gate.opening_pa(exhaust_pa=20e3) < gate.opening_pa()
    blown = gate.blown_open_pa()
    assert gate.lift_m(0.0, exhaust_pa=blown * 1.01) > 0.0
    assert gate.lift_m(0.0, exhaust_pa=blown * 0.99) == 0.0
    assert Gate().blown_open_pa() == math.inf


def test_friction_delays_opening() -> None:
    assert Gate(friction_n=10.0).opening_pa() - Gate().opening_pa() == pytest.approx(10 / 15.904e-4)


def test_trapped_air() -> None:
    # Boyle's law and its adiabatic form: squeezed by .29 of its volume at 14.7 psi, it gains
    # 6.004, 7.472 and 9.044 psi for n of 1, 1.2 and 1.4.
    for exponent, gain_psi in ((ISOTHERMAL, 6.004), (1.2, 7.472), (ADIABATIC, 9.044)):
        gain_pa = trapped_pa(14.7 * PSI, 0.29, exponent) - 14.7 * PSI
        assert gain_pa / PSI == pytest.approx(gain_psi, abs=1e-3)
    for squeezed in (-0.1, 1.0):
        with pytest.raises(ValueError, match="squeezed"):
            trapped_pa(1e5, squeezed, 1.0)


def test_capped_upper_ports_make_twenty_psi_of_a_spring_of_fourteen() -> None:
    # Common practice, no source: with both upper ports capped a 14 psi spring opens at about 20.
    gate = of_spring(14 * PSI)
    chamber_m3 = gate.diaphragm_m2 * gate.travel_m / 0.29
    # A gate passes enough when it is most of the way open; the air there is squeezed by .29.
    needed_pa = brentq(
        lambda p: gate.lift_capped_m(p, chamber_m3, ISOTHERMAL) - 0.0099, 14 * PSI, 80 * PSI
    )
    spring_alone_pa = gate.opening_pa() + gate.rate_n_m * 0.0099 / gate.diaphragm_m2
    assert (needed_pa - spring_alone_pa) / PSI == pytest.approx(6.0, abs=0.2)


@given(st.floats(0.0, 300e3), st.floats(1e-5, 1e-3), st.floats(1.0, 1.4), st.floats(20e3, 150e3))
def test_a_capped_gate_balances_and_opens_less(
    lower_pa: float, chamber_m3: float, exponent: float, spring_pa: float
) -> None:
    gate = of_spring(spring_pa)
    lift_m = gate.lift_capped_m(lower_pa, chamber_m3, exponent)
    assert 0.0 <= lift_m <= gate.lift_m(lower_pa) + 1e-12
    if 1e-6 < lift_m < gate.travel_m - 1e-6:
        squeezed = gate.diaphragm_m2 * lift_m / chamber_m3
        inside_pa = trapped_pa(101_325.0, squeezed, exponent) - 101_325.0
        net_n = gate.diaphragm_m2 * (lower_pa - inside_pa)
        assert net_n == pytest.approx(gate.preload_n + gate.rate_n_m * lift_m, rel=1e-6)
