"""Complaints that figures alone make: boost at two engine speeds, or against what was meant."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from expert.evidence.mail.figures import Figure

# A change of boost along the revs that a customer would complain of, as a share of it.
_SHARE: Final = 0.12
_LEAST_RPM: Final = 700.0
# Past the target by so much is overboost: the trade's cut is 2 to 5 psi above it (common practice).
OVER_KPA: Final = 14.0
# Under the spring by a fifth and more: something bypasses or leaks.
UNDER_SPRING: Final = 0.8
AT_SPRING: Final = (0.8, 1.18)
# Springs of gates begin at about 5 psi (common practice).
LEAST_SPRING_KPA: Final = 40.0


def along_revs(figures: Sequence[Figure]) -> tuple[str, Figure, Figure] | None:
    """``creep`` or ``falls-off`` with the two figures that show it, by boost at two speeds."""
    known = [one for one in figures if one.role == "boost" and one.rpm is not None]
    for first, second in pairwise(known):
        # A list has a line for each.
        if not 0 <= second.at[0] - first.at[0] <= 1 or first.unit != second.unit:
            continue
        low, high = sorted((first, second), key=lambda one: one.rpm or 0.0)
        if (high.rpm or 0.0) - (low.rpm or 0.0) < _LEAST_RPM or not low.value:
            continue
        change = (high.value - low.value) / low.value
        if change >= _SHARE:
            return "creep", first, second
        if change <= -_SHARE:
            return "falls-off", first, second
    return None


def against_target(boost_kpa: float, target_kpa: float, spring_kpa: float | None) -> str | None:
    """The complaint that a boost makes against the boost that was meant."""
    if boost_kpa >= target_kpa + OVER_KPA:
        return "overboost"
    if boost_kpa <= UNDER_SPRING * target_kpa:
        return low_complaint(boost_kpa, spring_kpa)
    return None


def low_complaint(
    boost_kpa: float, spring_kpa: float | None, least_kpa: float = LEAST_SPRING_KPA
) -> str:
    """Is a boost that will not rise the spring's, or less than that?

    ``least_kpa`` is the least that a spring which nobody named is taken to give.
    """
    if spring_kpa is not None:
        return "lazy" if boost_kpa < UNDER_SPRING * spring_kpa else "spring-ceiling"
    return "lazy" if boost_kpa < least_kpa else "spring-ceiling"
