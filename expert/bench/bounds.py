"""A number held between two others."""

from __future__ import annotations


def within(value: float, least: float, most: float) -> float:
    """The value, or the limit that it passes."""
    if value < least:
        return least
    return value if value < most else most
