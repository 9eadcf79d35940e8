"""The unit of a column that names none, by its values, and what values say of a column at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from expert.evidence.log.ranks import finite, quantile
from expert.evidence.log.units import BY_NAME, Unit
from expert.model import LogChannel

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

# Warm intake air in degrees Celsius ends about here; more is likelier to be Fahrenheit, and much
# more kelvin.
_WARM: Final = 60.0
_HOT: Final = 200.0


@dataclass(frozen=True, slots=True)
class Guess:
    """A unit, None where values cannot tell, with how sure it is and why."""

    unit: Unit | None
    certainty: float
    because: str


def guess(values: Floats, channel: LogChannel) -> Guess:
    """The unit of values of a channel, of those that it may be in.

    A pressure is not guessed here, since its reference comes with the unit, and neither is time.
    """
    units = [BY_NAME[name] for name in channel.units]
    known = finite(values)
    if not units or channel.quantity in ("pressure", "time", "any", "number"):
        return Guess(None, 0.9, "")
    if len(known) == 0:
        return Guess(units[0], 0.3, f"{units[0].name} assumed, since it has no values")
    middle, high = quantile(known, 0.5), quantile(known, 0.99)
    names = {unit.name: unit for unit in units}
    if channel.quantity == "share" and "0-1" in names:
        if 0.0 < high <= 1.02:
            return Guess(names["0-1"], 0.9, "its values end at 1, so it is a share of 1")
        return Guess(names["%"], 0.95, "by its values it is in per cent")
    if channel.quantity == "mixture":
        if middle >= 6.0 and "AFR" in names:
            return Guess(names["AFR"], 0.95, "by its values it is an air-fuel ratio")
        return Guess(names["lambda"], 0.95, "by its values it is lambda")
    if channel.quantity == "temperature":
        return _temperature(middle, names)
    if len(units) == 1:
        return Guess(units[0], 0.95, f"{units[0].name} is the only unit it comes in")
    return Guess(units[0], 0.7, f"{units[0].name} assumed, since the file does not say")


def _temperature(middle: float, names: dict[str, Unit]) -> Guess:
    if middle > _HOT and "K" in names:
        return Guess(names["K"], 0.95, "by its values it is in kelvin")
    if middle > _WARM and "F" in names:
        return Guess(names["F"], 0.6, "F assumed, since it would be hot in C")
    return Guess(names["C"], 0.7, "C assumed, since the file does not say")


def in_range(values: Floats, unit: Unit | None, channel: LogChannel) -> float:
    """The share of values that a sound channel can have, 1 where nothing is known of that."""
    import numpy as np

    known = finite(values)
    if len(known) == 0:
        return 0.0
    if channel.least is None or channel.most is None:
        return 1.0
    if channel.quantity == "pressure" and (unit is None or unit.reference != "gauge"):
        # It may be absolute, and then a whole atmosphere higher.
        if unit is None:
            return 1.0
        inside = unit.inside(known)
        return float(np.mean((inside >= channel.least) & (inside <= channel.most + 110.0)))
    inside = known if unit is None else unit.inside(known)
    return float(np.mean((inside >= channel.least) & (inside <= channel.most)))
