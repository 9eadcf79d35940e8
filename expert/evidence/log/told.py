"""Small helpers for measured values: those that are missing, and one out of several."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.evidence.log.record import Measured

NO_PULL: Final = "no full-throttle pull was found"


def missing(why: str) -> Measured:
    """A value that the log cannot show, with the reason."""
    return Measured(None, why=why)


def first_reason(found: Sequence[Measured], otherwise: str = NO_PULL) -> Measured:
    """The first of several missing values, or one with another reason when there is none."""
    return next((one for one in found if one.value is None), missing(otherwise))


def largest(found: Sequence[Measured], otherwise: str = NO_PULL) -> Measured:
    """The largest of the values that were measured."""
    known = [one for one in found if one.value is not None]
    if not known:
        return first_reason(found, otherwise)
    return max(known, key=lambda one: one.value or 0.0)


def least(found: Sequence[Measured], otherwise: str = NO_PULL) -> Measured:
    """The smallest of the values that were measured."""
    known = [one for one in found if one.value is not None]
    if not known:
        return first_reason(found, otherwise)
    return min(known, key=lambda one: one.value or 0.0)


def surest(found: Sequence[Measured], otherwise: str = NO_PULL) -> Measured:
    """The value with the least uncertainty of those that were measured."""
    known = [one for one in found if one.value is not None]
    if not known:
        return first_reason(found, otherwise)
    return min(known, key=lambda one: one.uncertainty)
