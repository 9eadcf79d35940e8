"""The limits of a gate's spring and of a car's boost. Common practice, no source."""

from __future__ import annotations

import pytest

from expert.case.pressures import PressureField, possible


@pytest.mark.parametrize(
    ("field", "value_kpa", "expected"),
    [
        ("spring_kpa", 48.0, True),
        ("spring_kpa", 10.0, True),
        ("spring_kpa", 400.0, True),
        ("spring_kpa", 0.0, False),
        ("spring_kpa", -5.0, False),
        ("spring_kpa", 690.0, False),
        ("target_kpa", 690.0, True),
        ("target_kpa", 900.0, False),
        ("target_kpa", float("nan"), False),
    ],
)
def test_only_pressures_that_a_car_can_have_pass(
    field: PressureField, value_kpa: float, expected: bool
) -> None:
    assert possible(field, value_kpa) is expected
