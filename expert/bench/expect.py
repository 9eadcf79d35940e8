"""What boost to expect of a spring, a duty and a place, and what duty a target takes.

Every answer is a range: over bores, volumes and pulse frequencies of usual installations, and the
ideal valve besides, whose gate pressure is the source times the share of the time it is joined to
it. Pressures are gauge Pa.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from expert.bench.air import SEA_LEVEL_PA
from expert.bench.rig import MOST_BOOST_PA, Air, Rig, boost_pa, gate_sees

# Usual installations, from small and slow to large and quick: bore of the solenoid in mm, volume
# of the gate's chamber in m3, pulses in a second. Common practice, no source.
INSTALLATIONS: Final = ((2.0, 60e-6, 20.0), (2.5, 40e-6, 30.0), (3.5, 20e-6, 40.0))
# Duty that a three-port valve follows: common practice, no source.
USEFUL_DUTY: Final = (0.15, 0.85)
# Springs and gates are no better than this: 1 psi, common practice, no source.
SPRING_SLACK_PA: Final = 6_894.76
# Boost is held to about twice the spring: common practice, no source.
MOST_OF_SPRING: Final = 2.0
# Below this distance from the lowest boost there is nothing left to control with.
_ROOM_PA: Final = 2.0 * SPRING_SLACK_PA
_HALVINGS: Final = 9


class Range(NamedTuple):
    """From the least to the most; None at the top where nothing limits boost."""

    low: float
    high: float | None


@dataclass(frozen=True, slots=True)
class Place:
    """Where the car is: pressure of the air outside, absolute, and its temperature."""

    ambient_pa: float = SEA_LEVEL_PA
    ambient_k: float = 293.15


def installations(rig: Rig) -> Iterator[tuple[Rig, float]]:
    """The rig in usual installations, each with the frequency of its pulses."""
    for bore_mm, chamber_m3, hertz in INSTALLATIONS:
        yield replace(rig, solenoid_mm=bore_mm, chamber_m3=chamber_m3), hertz


def boost_at(rig: Rig, spring_pa: float, duty: float, place: Place) -> Range:
    """The boost that a spring makes at a duty (or at a share of a controller's travel)."""
    found = [
        boost_pa(one, spring_pa, duty, ambient_pa=place.ambient_pa, hertz=hertz)
        for one, hertz in installations(rig)
    ]
    if duty > 0.0 and is_pulsed(rig):
        found.append(_ideal(rig, spring_pa, duty))
    known = [value for value in found if value is not None]
    low = min(known, default=MOST_BOOST_PA)
    high = None if len(known) < len(found) else max(known) + SPRING_SLACK_PA
    return Range(max(low - SPRING_SLACK_PA, 0.0), high)


def is_pulsed(rig: Rig) -> bool:
    """Is there a solenoid whose duty means anything?"""
    return not rig.parts.isdisjoint(("three-port", "four-port"))


def _ideal(rig: Rig, spring_pa: float, duty: float) -> float | None:
    """Boost with ideal valves: gate pressure S (1 - duty), with four ports S (1 - 2 duty)."""
    share = 1.0 - (2.0 if "four-port" in rig.parts else 1.0) * duty
    return spring_pa / share if share * MOST_BOOST_PA > spring_pa else None


def duty_for(rig: Rig, spring_pa: float, target_pa: float, place: Place) -> Range | None:
    """The duties at which these installations hold a target, from the least to the most.

    At the duty that is looked for the gate sees just its spring while boost is the target. None
    when no installation can make the target.
    """
    found = [
        _duty_holding(one, spring_pa, target_pa, place, hertz) for one, hertz in installations(rig)
    ]
    if is_pulsed(rig):
        found.append(_ideal_duty(rig, spring_pa, target_pa))
    known = [duty for duty in found if duty is not None]
    return Range(min(known), max(known)) if known else None


def _ideal_duty(rig: Rig, spring_pa: float, target_pa: float) -> float:
    share = max(1.0 - spring_pa / target_pa, 0.0)
    return share / 2.0 if "four-port" in rig.parts else share


def _duty_holding(
    rig: Rig, spring_pa: float, target_pa: float, place: Place, hertz: float
) -> float | None:
    """By bisection: what the gate sees falls as the duty rises."""
    air = Air(target_pa, target_pa, place.ambient_pa)

    def opens(duty: float) -> bool:
        return gate_sees(rig, air, duty, hertz).net_pa >= spring_pa

    low, high = 0.0, 1.0
    if not opens(low):
        return low
    if opens(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if opens(middle) else (low, middle)
    return high


def spring_of(springs_pa: Sequence[float]) -> float:
    """The pressure of several springs together: they stand side by side, so they add."""
    return sum(springs_pa)


def warnings(
    spring_pa: float, target_pa: float | None, most_pa: float | None, adjustable: bool = True
) -> list[str]:
    """What is unwise about a spring with a target, and with the most boost that is permitted."""
    said = []
    if not adjustable and target_pa is not None and target_pa > spring_pa + SPRING_SLACK_PA:
        said.append(
            "Nothing in this setup can raise boost above the spring. Fit a stiffer spring, or a "
            "controller."
        )
    if most_pa is not None and most_pa < spring_pa + _ROOM_PA:
        said.append(
            "The lowest boost that this spring makes lies too near the most that is permitted: "
            "there is no room to hold boost below it. Fit a softer spring."
        )
    if target_pa is not None and target_pa < spring_pa - SPRING_SLACK_PA:
        said.append(
            "The target is below the spring, and no control can make less than the spring. Fit a "
            "softer spring."
        )
    permitted = target_pa is None or most_pa is None or target_pa <= most_pa
    if permitted and target_pa is not None and target_pa > MOST_OF_SPRING * spring_pa:
        said.append(
            "The target is more than about twice the spring; boost is then hard to hold. Fit a "
            "stiffer spring."
        )
    if not permitted:
        said.append("The target is above the most boost that is permitted.")
    return said
