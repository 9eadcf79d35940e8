"""Which pressures a car can have, so that a slip of the unit is caught wherever it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal

PressureField = Literal["spring_kpa", "target_kpa"]

# Least and most, gauge kPa. The limit of a test run is worked out from the spring, so a spring that
# no gate has must not pass.
LIMITS_KPA: Final[Mapping[PressureField, tuple[float, float]]] = {
    "spring_kpa": (10.0, 400.0),
    "target_kpa": (10.0, 700.0),
}


def possible(field: PressureField, value_kpa: float) -> bool:
    """Can a car have this gauge pressure?"""
    least, most = LIMITS_KPA[field]
    return least <= value_kpa <= most
