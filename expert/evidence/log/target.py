"""Boost against the target that the control unit logs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from expert.evidence.log.record import Measured
from expert.evidence.log.seen import Seen
from expert.evidence.log.slopes import Z95, middle
from expert.evidence.log.told import missing

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

_NO_TARGET: Final = "the log has no boost target"
# A pull in which boost rose to its end must last so long to count as short of its target.
_LONG_S: Final = 3.0
# A top stands out by so much, and so many of them make a swing.
_TOP_KPA: Final = 6.0
_FEWEST_TOPS: Final = 3
# Boost over its target for less was cut off before it could come back.
_STAYS_S: Final = 1.0


class Aim(NamedTuple):
    """How far boost stays under its target, and how far it stays over it once it is past."""

    under: Measured
    over: Measured


def aim_of(one: Seen) -> Aim:
    """Boost against target in a pull; the medians, so that swings and a spike do not count.

    ``over`` is taken from where boost first passes its target up to the lift or to the throttle
    that closes; 0 where it never does. Boost that was cut off soon after, on its way up, counts
    with the most it got to.
    """
    import numpy as np

    trace, plateau = one.trace, one.plateau
    if trace.target_kpa is None:
        return Aim(missing(_NO_TARGET), missing(_NO_TARGET))
    begin, end = trace.begin, trace.end
    over = trace.level_kpa - trace.target_kpa
    first = begin + 2 * (end - begin) // 3
    if plateau is not None:
        first = plateau.settled
    if plateau is None and (end - begin) * trace.step_s < _LONG_S:
        under = missing("boost was still rising when the pull ended")
    else:
        under = _median(one, -over, first, end)
    past = np.flatnonzero(over[begin:end] > 0.0)
    if not past.size:
        doubt = Z95 * trace.noise_kpa / 2.0
        return Aim(under, Measured(0.0, doubt, trace.span(first, end - 1)))
    first = begin + int(past[0])
    beyond = over[first:end]
    if float(beyond.min()) > 0.0 and beyond.size * trace.step_s < _STAYS_S:
        most = first + int(np.argmax(beyond))
        doubt = Z95 * trace.noise_kpa / 2.0
        return Aim(under, Measured(float(over[most]), doubt, trace.span(first, most)))
    return Aim(under, _median(one, over, first, end))


def tops_of(one: Seen) -> Measured:
    """How far the usual top of a swing gets past the target: the median of its tops.

    Tops are of the rows as they are, for means blunt them; they count from the first that passes
    the target, for swings begin before boost has come up.
    """
    import numpy as np

    trace = one.trace
    if trace.target_kpa is None:
        return missing(_NO_TARGET)
    span = trace.span(trace.begin, trace.end - 1)
    rows = (trace.logged_s >= span.from_s) & (trace.logged_s <= span.to_s)
    target = np.interp(trace.logged_s[rows], trace.time_s, trace.target_kpa)
    all_tops = _tops((trace.boost_kpa[rows] - target).tolist())
    past = next((k for k, top in enumerate(all_tops) if top > 0.0), len(all_tops))
    tops = all_tops[past:]
    if len(tops) < _FEWEST_TOPS:
        return missing("boost does not swing often enough to tell how far")
    spread = 1.25 * float(np.std(tops)) / np.sqrt(len(tops))
    doubt = float(np.hypot(spread, Z95 * trace.noise_kpa / 2.0))
    return Measured(float(np.median(tops)), doubt, span)


def _tops(values: Sequence[float]) -> list[float]:
    """The tops from which a curve falls by so much before it rises by as much again."""
    found, rising, edge = [], True, -math.inf
    for value in values:
        edge = max(edge, value) if rising else min(edge, value)
        if rising and value < edge - _TOP_KPA:
            found.append(edge)
            rising, edge = False, value
        elif not rising and value > edge + _TOP_KPA:
            rising, edge = True, value
    return found


def _median(one: Seen, values: Floats, first: int, end: int) -> Measured:
    trace = one.trace
    first = min(first, end - 2)
    found, spread = middle(values[first:end], trace.independent(first, end))
    return Measured(found, spread + trace.noise_kpa / 4.0, trace.span(first, end - 1))
