"""Ids that an entry may be excused from besides the rules, and those that reports need by name."""

from __future__ import annotations

from typing import Final

# A mistake of the form of a file, for which it is refused.
FORM: Final = "form"
IDLE_EXCUSE: Final = "idle-excuse"
# What `gatepost knowledge gaps` finds.
GAPS: Final = (
    "no-telling-apart",
    "never-found",
    "never-chosen",
    "same-symptoms",
    "implied-answer",
)
