"""What boost a layout makes: ``expert/evidence/hookup/expectation.py``."""

from __future__ import annotations

import pytest

from expert.bench.air import standard_pressure_pa
from expert.bench.expect import Place
from expert.evidence.hookup.expectation import expectation, numbers
from tests.evidence.hookup.rigs import layout

PSI = 6894.757293168  # NIST Special Publication 811, appendix B.8


def test_a_three_port_setup() -> None:
    found = expectation(layout("external-single"), 14 * PSI, Place(), duty=0.3, target_pa=20 * PSI)
    assert found.pulsed
    assert found.at_rest.low < 14 * PSI
    assert found.at_duty is not None
    assert found.at_duty.low < 20 * PSI
    assert found.for_target is not None
    assert found.for_target.low == pytest.approx(0.3, abs=0.01)
    assert found.warnings == ()


def test_a_setup_without_a_controller_has_its_spring_and_no_more() -> None:
    found = expectation(
        layout("direct", "internal"), 7 * PSI, Place(), duty=0.5, target_pa=12 * PSI
    )
    assert (found.pulsed, found.by_hand) == (False, False)
    assert (found.ceiling, found.at_duty, found.for_target) == (None, None, None)
    assert "Nothing in this setup can raise boost" in found.warnings[0]
    assert "follows a duty" in found.warnings[-1]


def test_numbers_are_gauge_and_absolute() -> None:
    place = Place(standard_pressure_pa(1500.0), 283.15)
    shown = numbers(expectation(layout("manual-ball", "external"), 7 * PSI, place))
    low, high = shown["boost_at_rest_kpa"]
    assert shown["boost_at_rest_absolute_kpa"] == [
        pytest.approx(low + 84.6, abs=0.11),
        pytest.approx(high + 84.6, abs=0.11),
    ]
    # p / (R T) at 84.556 kPa and 10 degrees Celsius, by hand.
    assert shown["air_kg_m3"] == pytest.approx(84_556 / (287.05287 * 283.15), abs=1e-4)
    assert shown["duty_for_target_pct"] is None
