from __future__ import annotations

import pytest

from expert.evidence.log.gears import gears_spread
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, flat, joined, made, without


def pulls(recording: Recording, has_duty: bool = True) -> list[Seen]:
    return [seen(one) for one in traces(recording, find(recording, has_duty))]


def two(apart: float, absent: tuple[str, ...] = (), duty: float = 0.0) -> Recording:
    drive = joined(
        made(flat(69.0), gear=2, noise_kpa=0.5, duty=duty),
        made(flat(69.0 + apart), gear=4, noise_kpa=0.5, duty=duty),
    )
    return without(drive, *absent)


@pytest.mark.parametrize("absent", [(), ("gear",), ("speed",)])
@pytest.mark.parametrize("apart", [-4.0, 0.0, 12.0])
def test_boost_in_the_high_gear_above_that_in_the_low(
    apart: float, absent: tuple[str, ...]
) -> None:
    found = gears_spread(pulls(two(apart, absent)))
    assert found.value == pytest.approx(apart, abs=0.5 + found.uncertainty)
    assert found.uncertainty < 1.5


def test_the_order_of_the_pulls_does_not_matter() -> None:
    drive = joined(made(flat(81.0), gear=4), made(flat(69.0), gear=2))
    assert gears_spread(pulls(drive)).value == pytest.approx(12.0, abs=0.2)


def test_what_cannot_be_told() -> None:
    assert "one gear" in gears_spread(pulls(joined(made(flat(69.0)), made(flat(69.0))))).why
    assert "tells its gear" in gears_spread(pulls(two(3.0, ("gear", "speed")))).why
    apart = joined(made(flat(69.0), gear=2), made(flat(90.0), gear=4, duty=40.0))
    assert gears_spread(pulls(apart)).value is None
    moved = joined(
        made(flat(69.0), gear=2, duty=lambda into: 30.0 + into),
        made(flat(69.0), gear=4, duty=lambda into: 30.0 + into),
    )
    assert gears_spread(pulls(moved)).value is None
    rpm = joined(
        made(flat(69.0), gear=2, rpm=(2_000.0, 3_500.0)),
        made(flat(69.0), gear=4, rpm=(4_000.0, 6_000.0)),
    )
    assert "same rpm" in gears_spread(pulls(rpm)).why


def test_no_solenoid_needs_no_duty() -> None:
    assert gears_spread(pulls(two(12.0, ("duty",)), has_duty=False)).value == pytest.approx(
        12.0, abs=1.0
    )


def test_a_gate_that_is_too_small_has_more_in_the_high_gear() -> None:
    def spread(*causes: str) -> float:
        drives = [bench(*causes, duties=(0.0,), gear=gear) for gear in (2, 4)]
        found = gears_spread(pulls(joined(*drives))).value
        assert found is not None
        return found

    assert abs(spread()) < 7.0
    assert spread("gate-undersized") > spread()
