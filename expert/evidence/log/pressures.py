"""Boost, its target and the barometer in kPa above outside air, or the reason why not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from expert.evidence.log.channels import BOOST, Pick
from expert.evidence.log.ranks import finite, median, quantile
from expert.evidence.log.record import Channel, Reference
from expert.evidence.log.reference import (
    HIGHEST_AIR_KPA,
    LOWEST_AIR_KPA,
    Judged,
    Outside,
    Shown,
    judge,
    outside,
    shown,
)
from expert.evidence.log.units import BY_NAME, Unit
from expert.model import LogChannel
from expert.text import clean, name_words

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

BAROMETER: Final = "barometer"
TARGET: Final = "target"
_ABSOLUTE: Final = frozenset({"absolute", "abs", "map", "absolut", "absolu", "absoluta"})
_GAUGE: Final = frozenset({"gauge", "gage", "relative", "rel", "vacuum", "relativ", "relativa"})
# A target is hardly ever further below outside air than this while the engine pulls.
_LEAST_TARGET_KPA: Final = -30.0
_MOST_TARGET_KPA: Final = 400.0
# A target this far from boost, which the other reference would bring near, is doubtful.
_FAR_KPA, _NEAR_KPA = 65.0, 25.0
# A barometer that moves more than this was driven up or down a hill.
_HILL_KPA: Final = 3.0


@dataclass(frozen=True)
class Manifold:
    """Pressures that could be made, their channels with what was found out, and notes."""

    values: Mapping[str, Floats]
    channels: tuple[Channel, ...]
    notes: tuple[str, ...]


def manifold(
    picks: Mapping[str, Pick],
    raw: Mapping[str, Floats],
    channels: Mapping[str, LogChannel],
    rpm: Floats | None,
    throttle: Floats | None,
) -> Manifold:
    """Pressures of the columns in ``raw``, as written, by channel id.

    ``rpm`` and ``throttle`` in per cent are of the same rows. A pressure whose unit or reference
    cannot be told is left out, and a note says why and what would show it.
    """
    values: dict[str, Floats] = {}
    told: dict[str, Channel] = {}
    notes: list[str] = []
    air_kpa = None
    if BAROMETER in raw:
        pick = picks[BAROMETER]
        found, channel, why = _barometer(pick, raw[BAROMETER], channels[BAROMETER])
        told[BAROMETER] = channel
        if found is None:
            notes.append(f"The barometer {_quoted(pick)} was left out: {why}.")
        else:
            values[BAROMETER], air_kpa = found, _middle(found)
            notes += _hill(found)
    judged = Judged(None, None, 0.0, "the file has no boost")
    air = outside(air_kpa, None, None, None)
    if BOOST in raw:
        pick = picks[BOOST]
        seen = shown(raw[BOOST], rpm, throttle)
        if seen is None:
            judged = Judged(pick.unit, None, 0.0, "it has hardly any readings")
        else:
            judged = _judged(pick, channels[BOOST], seen, air_kpa)
        air = outside(air_kpa, seen, judged.unit, judged.reference)
        told[BOOST] = _channel(pick, judged)
        if judged.unit is None or judged.reference is None:
            notes.append(_undecided(pick, judged))
        else:
            values[BOOST] = _gauge(raw[BOOST], judged.unit, judged.reference, air)
            notes += _said_air(judged.reference, air)
    if TARGET in raw:
        pick = picks[TARGET]
        peak = _peak(values[BOOST]) if BOOST in values else None
        alike = BOOST in picks and named_alike(picks[BOOST].channel.column, pick.channel.column)
        target = _target(pick.unit, raw[TARGET], judged, None if alike else peak, air)
        told[TARGET] = _channel(pick, target)
        if target.unit is None or target.reference is None:
            notes.append(_undecided(pick, target))
        else:
            values[TARGET] = _gauge(raw[TARGET], target.unit, target.reference, air)
    return Manifold(values, tuple(told.values()), tuple(notes))


def _judged(pick: Pick, channel: LogChannel, seen: Shown, air_kpa: float | None) -> Judged:
    units = [pick.unit] if pick.unit is not None else [BY_NAME[name] for name in channel.units]
    if pick.channel.certainty == 1.0 and pick.unit is not None and pick.unit.reference is not None:
        return Judged(pick.unit, pick.unit.reference, 1.0, "you said so")
    return judge(seen, units, hint_of(pick.channel.column), air_kpa)


def hint_of(name: str) -> Reference | None:
    """The reference that the name of a column suggests."""
    words = set(name_words(name))
    absolute, gauge = bool(words & _ABSOLUTE), bool(words & _GAUGE)
    if absolute == gauge:
        return None
    return "absolute" if absolute else "gauge"


def named_alike(boost: str, target: str) -> bool:
    """Is a target named after the column of boost, as Boost Target is after Boost?"""
    words = {word for word in name_words(boost) if len(word) > 1}
    return bool(words) and words <= set(name_words(target))


def _gauge(values: Floats, unit: Unit, reference: Reference, air: Outside) -> Floats:
    inside: Floats = unit.inside(values)
    return inside - air.kpa if reference == "absolute" else inside


def _channel(pick: Pick, judged: Judged) -> Channel:
    """The channel with what was found out about its unit and reference."""
    channel = pick.channel
    unit = judged.unit if judged.unit is not None else pick.unit
    reason = "" if judged.because in channel.because else f"; {judged.because}"
    if judged.reference is not None:
        reason = f"; {judged.reference}, since {judged.because}" if reason else ""
    return replace(
        channel,
        unit=channel.unit if unit is None else unit.name,
        certainty=channel.certainty * (judged.certainty if judged.reference is not None else 1.0),
        because=f"{channel.because}{reason}",
        reference=judged.reference,
    )


def _undecided(pick: Pick, judged: Judged) -> str:
    what = pick.channel.id
    return (
        f"Cannot tell what {_quoted(pick)} ({what}) counts from: {judged.because}. "
        f"--channel '{what}={clean(pick.channel.column, 60)}:kPa abs', or :kPa gauge, says it."
    )


def _said_air(reference: Reference, air: Outside) -> list[str]:
    if reference == "gauge" or air.measured:
        return []
    return [f"The file has no barometer. Outside air is {air.because}."]


def _barometer(pick: Pick, raw: Floats, channel: LogChannel) -> tuple[Floats | None, Channel, str]:
    units = [pick.unit] if pick.unit is not None else [BY_NAME[name] for name in channel.units]
    middle = _middle(raw)
    if middle is None:
        return None, pick.channel, "it has no readings"
    for unit in units:
        if LOWEST_AIR_KPA <= unit.inside(middle) <= HIGHEST_AIR_KPA:
            told = replace(pick.channel, unit=unit.name, reference="absolute")
            if pick.unit is None:
                because = f"{told.because}; by its values it is in {unit.name}"
                told = replace(told, because=because)
            return unit.inside(raw), told, ""
    shown_as = f"{middle:g}" if pick.unit is None else f"{pick.unit.inside(middle):.0f} kPa"
    return None, pick.channel, f"it reads {shown_as}, which air outside never has"


def _hill(kpa: Floats) -> list[str]:
    known = finite(kpa)
    low, high = quantile(known, 0.02), quantile(known, 0.98)
    if high - low <= _HILL_KPA:
        return []
    return [
        f"The barometer goes from {low:.1f} to {high:.1f} kPa; its middle was taken for the whole "
        "log."
    ]


def _target(
    unit: Unit | None, raw: Floats, boost: Judged, peak_kpa: float | None, air: Outside
) -> Judged:
    """Unit and reference of a target, which a logger writes as it writes boost.

    ``peak_kpa`` is the highest boost, where the names leave it open that they belong together.
    """
    if unit is not None and unit.reference is not None:
        return Judged(unit, unit.reference, 0.97, f"the unit says {unit.reference}")
    unit = unit or boost.unit
    if unit is None or boost.reference is None:
        return Judged(unit, None, 0.0, "boost itself has no reference to go by")
    known = finite(raw)
    if len(known) == 0:
        return Judged(unit, None, 0.0, "it has no readings")
    high = unit.inside(quantile(known, 0.98))
    same = boost.reference
    other: Reference = "gauge" if same == "absolute" else "absolute"
    above = {"absolute": high - air.kpa, "gauge": high}
    fits = {kind: _LEAST_TARGET_KPA <= kpa <= _MOST_TARGET_KPA for kind, kpa in above.items()}
    if not fits[same]:
        if fits[other] and same == "absolute":
            return Judged(unit, other, 0.9, f"{high:.0f} kPa is no target above vacuum")
        return Judged(unit, None, 0.0, f"a target of {high:.0f} kPa makes no sense")
    if peak_kpa is not None and same == "gauge" and fits[other]:
        lowest = unit.inside(quantile(known, 0.02))
        # A gauge target begins near 0, one above vacuum at outside air.
        above_vacuum = lowest > air.kpa - _NEAR_KPA
        far, near = abs(above[same] - peak_kpa), abs(above[other] - peak_kpa)
        if above_vacuum and far > _FAR_KPA and near < _NEAR_KPA:
            because = f"it runs up to {high:.0f} kPa, which suits boost only if it is absolute"
            return Judged(unit, None, 0.0, because)
    return Judged(unit, same, 0.9, f"boost is {same}")


def _peak(kpa: Floats) -> float | None:
    known = finite(kpa)
    return quantile(known, 0.99) if len(known) else None


def _middle(values: Floats) -> float | None:
    known = finite(values)
    return median(known) if len(known) else None


def _quoted(pick: Pick) -> str:
    return f"'{clean(pick.channel.column, 60)}'"
