"""Air and the standard atmosphere: ``expert/bench/air.py``."""

from __future__ import annotations

import math

import pytest
from ambiance import Atmosphere
from CoolProp.CoolProp import PropsSI

from expert.bench.air import (
    compressed_k,
    density_kg_m3,
    kelvin,
    standard_pressure_pa,
    standard_temperature_k,
)

# Source: ISO 2533, tables of the standard atmosphere; Pa against geopotential metres.
TABLE = {
    0: 101325.00,
    500: 95460.84,
    1000: 89874.56,
    1500: 84555.99,
    2000: 79495.20,
    3000: 70108.53,
}


@pytest.mark.parametrize(("altitude_m", "pressure_pa"), TABLE.items())
def test_pressure_is_that_of_the_table(altitude_m: float, pressure_pa: float) -> None:
    assert standard_pressure_pa(altitude_m) == pytest.approx(pressure_pa, abs=0.02)


@pytest.mark.parametrize("altitude_m", [-500.0, 0.0, 1234.0, 5000.0, 10_900.0])
def test_pressure_and_temperature_are_those_of_a_general_library(altitude_m: float) -> None:
    # ambiance takes geometric heights; ISO 2533, equation 8, with its radius of 6 356 766 m.
    geometric_m = 6_356_766.0 * altitude_m / (6_356_766.0 - altitude_m)
    reference = Atmosphere(geometric_m)
    assert standard_pressure_pa(altitude_m) == pytest.approx(float(reference.pressure[0]), rel=1e-5)
    expected_k = float(reference.temperature[0])
    assert standard_temperature_k(altitude_m) == pytest.approx(expected_k, abs=1e-3)


@pytest.mark.parametrize("altitude_m", [-1001.0, 11_001.0, math.nan, math.inf])
def test_other_altitudes_are_refused(altitude_m: float) -> None:
    with pytest.raises(ValueError, match="altitude"):
        standard_pressure_pa(altitude_m)


def test_degrees() -> None:
    assert kelvin(20.0) == 293.15
    for value in (-273.15, -300.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="temperature"):
            kelvin(value)


def test_density_is_that_of_a_general_library_for_real_air() -> None:
    # CoolProp knows real air; at 2 bar a perfect gas is right within 1 part in 1000.
    real = PropsSI("D", "P", 200e3, "T", 313.15, "Air")
    assert density_kg_m3(200e3, 313.15) == pytest.approx(real, rel=1e-3)


def test_temperature_behind_a_compressor() -> None:
    # Constructed; the second value was found to be the same in the library fluids.
    assert compressed_k(298.15, 2.0, 0.70) == pytest.approx(391.4342, abs=1e-3)
    assert compressed_k(288.15, 2.0, 0.75) == pytest.approx(372.2950, abs=1e-3)
