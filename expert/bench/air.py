"""Air as a perfect gas, and the standard atmosphere. SI units; pressures are absolute."""

from __future__ import annotations

import math
from typing import Final

# ISO 2533:1975, table 1: the constants of the standard atmosphere.
GAS_CONSTANT: Final = 287.05287  # J/(kg K)
SEA_LEVEL_PA: Final = 101_325.0
SEA_LEVEL_K: Final = 288.15
LAPSE_K_PER_M: Final = 0.0065
GRAVITY: Final = 9.80665  # m/s2
TROPOPAUSE_M: Final = 11_000.0

# The ratio of specific heats of air at moderate temperatures, as the gas tables have it.
GAMMA: Final = 1.4

ZERO_CELSIUS_K: Final = 273.15


def standard_pressure_pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere at a geopotential altitude (ISO 2533, troposphere).

    Raises ValueError above the troposphere or more than 1 km below the sea.
    """
    if not -1_000.0 <= altitude_m <= TROPOPAUSE_M:
        raise ValueError(f"the altitude must be from -1000 to {TROPOPAUSE_M:.0f} m")
    ratio = standard_temperature_k(altitude_m) / SEA_LEVEL_K
    return float(SEA_LEVEL_PA * ratio ** (GRAVITY / (GAS_CONSTANT * LAPSE_K_PER_M)))


def standard_temperature_k(altitude_m: float) -> float:
    """Temperature of the standard atmosphere at a geopotential altitude (ISO 2533)."""
    return SEA_LEVEL_K - LAPSE_K_PER_M * altitude_m


def kelvin(temperature_c: float) -> float:
    """Degrees Celsius as an absolute temperature. Raises ValueError below absolute zero."""
    if temperature_c <= -ZERO_CELSIUS_K or not math.isfinite(temperature_c):
        raise ValueError("the temperature must be over -273.15 degrees Celsius")
    return temperature_c + ZERO_CELSIUS_K


def density_kg_m3(pressure_pa: float, temperature_k: float) -> float:
    """Density of dry air: p / (R T)."""
    return pressure_pa / (GAS_CONSTANT * temperature_k)


def compressed_k(inlet_k: float, pressure_ratio: float, efficiency: float) -> float:
    """Temperature behind a compressor: T1 (1 + (PR^((g-1)/g) - 1) / efficiency).

    Source: Cengel and Boles, Thermodynamics, chapter 7, isentropic efficiency of a compressor.
    """
    ideal = float(pressure_ratio ** ((GAMMA - 1.0) / GAMMA)) - 1.0
    return inlet_k * (1.0 + ideal / efficiency)
