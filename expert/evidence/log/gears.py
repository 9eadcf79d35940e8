"""Boost in a high gear against a low one at the same rpm and setting."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.evidence.log.creep import SAME_DUTY_PCT
from expert.evidence.log.ranks import median
from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95
from expert.evidence.log.told import missing

_LEAST_RPM: Final = 300.0


def gears_spread(pulls: Sequence[Seen]) -> Measured:
    """Boost in the highest gear less that in the lowest, at the same rpm and the same duty.

    Gears are told apart by their column, or else by rpm for a km/h.
    """
    steady = [(key, one) for one in pulls if (key := _tall(one)) is not None and _same_duty(one)]
    if not steady:
        return missing("no pull at one duty tells its gear")
    steady.sort(key=lambda pair: pair[0])
    found = [
        _apart(low, high)
        for number, (key, low) in enumerate(steady)
        for other, high in reversed(steady[number + 1 :])
        if other > key * 1.04 and _alike(low, high)
    ]
    known = [one for one in found if one.value is not None]
    if known:
        return max(known, key=lambda one: abs(one.value or 0.0))
    return found[0] if found else missing("all pulls at one duty were made in one gear")


def _tall(one: Seen) -> float | None:
    """A number that grows with the gear."""
    pull = one.trace.pull
    if pull.rpm_per_km_h is not None:
        return 1000.0 / pull.rpm_per_km_h
    return float(pull.gear) if pull.gear is not None else None


def _same_duty(one: Seen) -> bool:
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if plateau is None or trace.rpm is None:
        return False
    if trace.pull.lowest:
        return True
    if trace.duty_pct is None:
        return False
    return float(np.ptp(trace.duty_pct[plateau.settled : plateau.end])) <= SAME_DUTY_PCT


def _alike(low: Seen, high: Seen) -> bool:
    one, other = low.trace.pull, high.trace.pull
    if one.lowest and other.lowest:
        return True
    if one.duty_pct is None or other.duty_pct is None:
        return False
    return abs(one.duty_pct - other.duty_pct) <= SAME_DUTY_PCT


def _apart(low: Seen, high: Seen) -> Measured:
    """The difference over the rpm that both pulls went through after boost had settled."""
    import numpy as np

    curves = []
    for one in (low, high):
        assert one.plateau is not None and one.trace.rpm is not None
        steps = slice(one.plateau.settled, one.plateau.end)
        turns = np.maximum.accumulate(one.trace.rpm[steps])
        curves.append((turns, one.trace.level_kpa[steps], one.trace.time_s[steps]))
    least = max(float(turns[0]) for turns, _, _ in curves)
    most = min(float(turns[-1]) for turns, _, _ in curves)
    if most - least < _LEAST_RPM:
        return missing("the pulls in different gears did not go through the same rpm")
    at = np.linspace(least, most, 21)
    apart = np.interp(at, *curves[1][:2]) - np.interp(at, *curves[0][:2])
    doubt = Z95 * float(np.std(apart)) / np.sqrt(5.0) + low.trace.noise_kpa / 2.0
    turns, _, time = curves[1]
    first, last = (high.trace.at(float(np.interp(edge, turns, time))) for edge in (least, most))
    return Measured(median(apart), float(doubt), high.trace.span(first, last))
