"""Whether a pressure counts from vacuum or from the air outside, and in which unit it is written.

Each pair of unit and reference is held against what a manifold does: with the engine standing it
has the pressure outside, at idle a petrol engine draws it down, nothing is below vacuum, and a
turbo makes so much and no more. The pair that explains the readings wins, if it wins clearly. The
widths below are assumed, wide enough for a faulty sensor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from expert.evidence.log.ranks import finite, median, quantile
from expert.evidence.log.record import Reference
from expert.evidence.log.units import Unit

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# ISO 2533, at sea level.
STANDARD_KPA: Final = 101.325
# Outside air from 5,000 m up to the highest seen at sea level.
LOWEST_AIR_KPA, HIGHEST_AIR_KPA = 54.0, 108.5
# Where most cars are driven: up to 3,000 m.
_USUAL_AIR_KPA: Final = (70.0, 104.0)
# So clear must it be.
CLEAR: Final = 0.9
STANDING_RPM: Final = 50.0
_IDLE_RPM: Final = (400.0, 1_400.0)
_FEWEST: Final = 5
_IMPOSSIBLE: Final = -25.0
_KINDS: Final[tuple[Reference, ...]] = ("absolute", "gauge")


@dataclass(frozen=True, slots=True)
class Outside:
    """The pressure of the air outside in kPa, and whether it was measured, or how it is known."""

    kpa: float
    measured: bool
    because: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What some readings show, each None where the log does not: in the unit of the file.

    ``standing`` is the median with the engine off, ``idle`` at idle, ``closed`` the median of the
    lowest readings, ``lowest`` and ``highest`` nearly the extremes, ``open_`` the lowest at full
    throttle.
    """

    standing: float | None
    idle: float | None
    lowest: float
    highest: float
    open_: float | None


@dataclass(frozen=True, slots=True)
class Judged:
    """The unit and the reference, or None with the reason; how sure, from 0 to 1."""

    unit: Unit | None
    reference: Reference | None
    certainty: float
    because: str


def shown(readings: Floats, rpm: Floats | None, throttle: Floats | None) -> Shown | None:
    """What readings show, against rpm and throttle per cent of the same rows, where there are any.

    None where there are hardly any readings.
    """
    import numpy as np

    there = np.isfinite(readings)
    if int(there.sum()) < _FEWEST:
        return None
    read = finite(readings)
    lowest, highest = quantile(read, 0.003), quantile(read, 0.998)
    standing = idle = open_ = None
    if rpm is not None:
        standing = _median(readings[there & (rpm < STANDING_RPM)])
        idling = there & (rpm > _IDLE_RPM[0]) & (rpm < _IDLE_RPM[1])
        if throttle is not None:
            idling &= throttle < _rest(throttle) + 10.0
        idle = _median(readings[idling])
    if throttle is not None:
        wide = readings[there & (throttle > 80.0)]
        open_ = quantile(wide, 0.02) if len(wide) >= _FEWEST else None
    return Shown(standing, idle, lowest, highest, open_)


def _rest(throttle: Floats) -> float:
    known = finite(throttle)
    return quantile(known, 0.02) if len(known) else 0.0


def _median(values: Floats) -> float | None:
    return median(values) if len(values) >= _FEWEST else None


def judge(
    seen: Shown,
    units: Sequence[Unit],
    hint: Reference | None = None,
    barometer_kpa: float | None = None,
) -> Judged:
    """The unit and the reference of a manifold pressure.

    ``units`` are those it may be in: one, where the file says which. ``hint`` is the reference that
    the name suggests. A unit with a reference of its own is believed, unless the readings rule it
    out.
    """
    pairs = [(unit, reference) for unit in units for reference in _KINDS]
    scores = [
        _fit(seen, unit, reference, barometer_kpa) + _leaning(reference, hint)
        for unit, reference in pairs
    ]
    if max(scores) <= _IMPOSSIBLE:
        return Judged(None, None, 0.0, _no_fit(seen, units))
    most = max(scores)
    weights = [math.exp(score - most) for score in scores]
    shares = [weight / sum(weights) for weight in weights]
    said = units[0].reference if len(units) == 1 else None
    if said is not None:
        return _believed(units[0], said, shares[_KINDS.index(said)], seen)
    best = max(range(len(pairs)), key=lambda k: shares[k])
    unit, reference = pairs[best]
    certainty = min(shares[best], 0.99)
    if certainty >= CLEAR:
        return Judged(unit, reference, certainty, _reason(seen, unit, reference, hint))
    of_unit = sum(share for (one, _), share in zip(pairs, shares, strict=True) if one is unit)
    if of_unit < CLEAR:
        return Judged(None, None, certainty, _unclear_unit(units))
    return Judged(unit, None, certainty, _unclear_reference(seen, unit))


def _believed(unit: Unit, said: Reference, share: float, seen: Shown) -> Judged:
    if share >= 1e-3:
        return Judged(unit, said, max(0.97, min(share, 0.99)), f"the unit says {said}")
    other: Reference = "gauge" if said == "absolute" else "absolute"
    return Judged(
        unit, None, 1.0 - share, f"the unit says {said}, but {_reason(seen, unit, other, None)}"
    )


def outside(
    barometer_kpa: float | None, seen: Shown | None, unit: Unit | None, reference: Reference | None
) -> Outside:
    """The air outside: as measured, or as an absolute sensor reads it with the engine off.

    Where neither is there it is the standard pressure at sea level.
    """
    if barometer_kpa is not None:
        return Outside(barometer_kpa, True, f"{barometer_kpa:.1f} kPa by the barometer of the log")
    if reference == "absolute" and seen is not None and unit is not None:
        standing = seen.standing
        if standing is not None:
            kpa = unit.inside(standing)
            if LOWEST_AIR_KPA <= kpa <= HIGHEST_AIR_KPA:
                return Outside(
                    kpa, False, f"{kpa:.1f} kPa, taken from the boost sensor with the engine off"
                )
    return Outside(STANDARD_KPA, False, "101.3 kPa, the standard at sea level, assumed")


def _fit(seen: Shown, unit: Unit, reference: Reference, barometer_kpa: float | None) -> float:
    """How well a pair explains what is shown: a sum of logarithms, 0 at the best."""
    air = 0.0
    total = 0.0
    if reference == "absolute":
        air = STANDARD_KPA if barometer_kpa is None else barometer_kpa
        standing = None if seen.standing is None else unit.inside(seen.standing)
        if barometer_kpa is None and standing is not None:
            # Anything that air outside can be; an offset of the sensor may come on top.
            total += _log(_within(standing, _USUAL_AIR_KPA[0], _USUAL_AIR_KPA[1], 8.0))
            air = min(max(standing, LOWEST_AIR_KPA), HIGHEST_AIR_KPA)
        elif standing is not None:
            total += _log(_at_rest(standing - air))
    elif seen.standing is not None:
        total += _log(_at_rest(unit.inside(seen.standing)))
    lowest, highest = unit.inside(seen.lowest) - air, unit.inside(seen.highest) - air
    if seen.idle is not None:
        # From idle to a pull the manifold goes through more than this, in whichever unit.
        total += _log(_within(highest - lowest, 60.0, 400.0, 20.0))
    # A sensor that is out by 35 kPa must not make the true pair impossible.
    total += _log(_within(lowest, -95.0, 45.0, 12.0))
    total += _log(_within(highest, 20.0, 300.0, 30.0))
    if seen.idle is not None:
        idle = unit.inside(seen.idle) - air
        total += _log(
            0.9 * _within(idle, -80.0, -40.0, 12.0) + 0.1 * _within(idle, -95.0, 5.0, 8.0)
        )
    if seen.open_ is not None:
        total += _log(_within(unit.inside(seen.open_) - air, -20.0, 150.0, 12.0))
    return total


def _at_rest(kpa: float) -> float:
    """How well a reading with the engine off suits 0 kPa, of a sound sensor or one that is out."""
    return 0.9 * _within(kpa, -3.0, 3.0, 3.0) + 0.1 * _within(kpa, -25.0, 25.0, 8.0)


def _within(value: float, low: float, high: float, width: float) -> float:
    """1 inside, falling off outside like a normal curve of a width."""
    out = max(low - value, value - high, 0.0) / width
    return math.exp(-0.5 * out * out)


def _log(share: float) -> float:
    # What one reading can say against a pair has an end.
    return math.log(max(share, 1e-6))


def _leaning(reference: Reference, hint: Reference | None) -> float:
    return 0.0 if hint is None or hint == reference else math.log(0.1)


def _reason(seen: Shown, unit: Unit, reference: Reference, hint: Reference | None) -> str:
    """What speaks for the pair most plainly."""
    if seen.standing is not None:
        kpa = unit.inside(seen.standing)
        air = "outside air" if reference == "absolute" else "nothing"
        return f"with the engine off it reads {kpa:.0f} kPa, that is {air}"
    lowest = unit.inside(seen.lowest)
    if reference == "gauge" and lowest < 0.0:
        return f"it falls to {lowest:.0f} kPa, and nothing is below vacuum"
    if reference == "gauge" and lowest < 15.0:
        return f"it falls to {lowest:.0f} kPa, which no engine draws from vacuum"
    if seen.idle is not None:
        return f"at idle it reads {unit.inside(seen.idle):.0f} kPa"
    if hint == reference:
        return "its name says so and the readings agree"
    return f"it runs from {lowest:.0f} to {unit.inside(seen.highest):.0f} kPa"


def _no_fit(seen: Shown, units: Sequence[Unit]) -> str:
    if len(units) == 1:
        low, high = units[0].inside(seen.lowest), units[0].inside(seen.highest)
        return (
            f"readings from {low:.0f} to {high:.0f} kPa are those of no manifold, "
            "neither as absolute nor as gauge pressure; the unit may be another"
        )
    return "readings are those of no manifold in any unit that is known here"


def _unclear_unit(units: Sequence[Unit]) -> str:
    names = ", ".join(unit.name for unit in units)
    return f"the file names no unit, and the readings do not show which of {names} it is"


def _unclear_reference(seen: Shown, unit: Unit) -> str:
    low, high = unit.inside(seen.lowest), unit.inside(seen.highest)
    return (
        f"readings from {low:.0f} to {high:.0f} kPa may be absolute or gauge; "
        "a few seconds with the engine off, key on, would show it"
    )
