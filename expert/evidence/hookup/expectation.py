"""What boost a layout can be expected to make with a spring, gathered for one car and place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from expert.bench.air import density_kg_m3
from expert.bench.expect import (
    USEFUL_DUTY,
    Place,
    Range,
    boost_at,
    duty_for,
    is_pulsed,
    warnings,
)
from expert.evidence.hookup.found import as_it_should_be
from expert.evidence.hookup.layout import Layout
from expert.evidence.hookup.physics import rig_of

NO_DUTY: Final = "Nothing in this setup follows a duty, so the duty that you gave changes nothing."


@dataclass(frozen=True, slots=True)
class Expectation:
    """Boost in gauge Pa; duties as shares of 1.

    ``ceiling`` is the boost at the end of the duty that the valve follows, ``at_duty`` that of the
    duty asked about, ``for_target`` the duties that make the target.
    """

    spring_pa: float
    place: Place
    pulsed: bool
    by_hand: bool
    at_rest: Range
    ceiling: Range | None
    duty: float | None
    at_duty: Range | None
    target_pa: float | None
    for_target: Range | None
    warnings: tuple[str, ...]

    @property
    def air_kg_m3(self) -> float:
        """Density of the air outside."""
        return density_kg_m3(self.place.ambient_pa, self.place.ambient_k)


def expectation(
    layout: Layout,
    spring_pa: float,
    place: Place,
    *,
    duty: float | None = None,
    target_pa: float | None = None,
    most_pa: float | None = None,
) -> Expectation:
    """What to expect of a layout without a fault."""
    rig = rig_of(layout, as_it_should_be(layout))
    pulsed, by_hand = is_pulsed(rig), "manual-controller" in layout.parts
    adjustable = pulsed or by_hand
    return Expectation(
        spring_pa,
        place,
        pulsed,
        by_hand,
        boost_at(rig, spring_pa, 0.0, place),
        boost_at(rig, spring_pa, USEFUL_DUTY[1], place) if adjustable else None,
        duty if adjustable else None,
        boost_at(rig, spring_pa, duty, place) if adjustable and duty is not None else None,
        target_pa,
        duty_for(rig, spring_pa, target_pa, place) if adjustable and target_pa else None,
        (
            *warnings(spring_pa, target_pa, most_pa, adjustable),
            *((NO_DUTY,) if duty is not None and not adjustable else ()),
        ),
    )


def numbers(expected: Expectation) -> dict[str, Any]:
    """The same as plain numbers: kPa gauge and absolute, duties in percent."""
    ambient_pa = expected.place.ambient_pa
    return {
        "spring_kpa": _kpa(expected.spring_pa),
        "ambient_kpa": _kpa(ambient_pa),
        "air_kg_m3": round(expected.air_kg_m3, 4),
        "boost_at_rest_kpa": _pair(expected.at_rest),
        "boost_at_rest_absolute_kpa": _pair(expected.at_rest, ambient_pa),
        "ceiling_kpa": _pair(expected.ceiling),
        "duty_pct": None if expected.duty is None else round(100.0 * expected.duty, 2),
        "boost_at_duty_kpa": _pair(expected.at_duty),
        "target_kpa": None if expected.target_pa is None else _kpa(expected.target_pa),
        "duty_for_target_pct": None
        if expected.for_target is None
        else [round(100.0 * (share or 0.0), 1) for share in expected.for_target],
        "warnings": list(expected.warnings),
    }


def _pair(found: Range | None, ambient_pa: float = 0.0) -> list[float | None] | None:
    if found is None:
        return None
    return [None if value is None else _kpa(value + ambient_pa) for value in found]


def _kpa(pressure_pa: float) -> float:
    return round(pressure_pa / 1000.0, 1) + 0.0
