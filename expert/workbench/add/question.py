"""One question of the conversation, as data."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Literal

Form = Literal["text", "id", "one", "several", "probability", "minutes", "whole", "pressure"]

# What was answered: texts, an id, ids, or nothing at all.
Value = tuple[str, ...]

YES, NO = "yes", "no"


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, why, and what may be answered.

    ``key`` is the name of the question in a draft. ``why`` explains it in a line. ``choices`` maps
    ids to what they mean, the likeliest first. ``default`` is what an empty line stands for, and
    None where it stands for nothing. ``taken`` are ids that exist; ``most`` is what is left of a
    probability; ``least`` is how many choices there must be at the least. A question for an id may
    have choices too: ids that are there and may be taken. ``alone`` are choices that stand beside
    no other.
    """

    key: str
    ask: str
    why: str
    form: Form = "text"
    choices: Mapping[str, str] = field(default_factory=dict)
    default: Value | None = None
    taken: Collection[str] = ()
    most: float = 1.0
    least: int = 0
    alone: Collection[str] = ()


def yes_or_no(key: str, ask: str, why: str, default: bool) -> Question:
    """A question that takes yes or no."""
    return Question(key, ask, why, "one", {YES: "Yes", NO: "No"}, default=(YES if default else NO,))
