"""A pull with what the features of it are measured from."""

from __future__ import annotations

from dataclasses import dataclass

from expert.evidence.log.plateau import Plateau, plateau_of
from expert.evidence.log.trace import Trace


@dataclass(frozen=True, slots=True)
class Seen:
    """A pull on even steps, and its plateau; None where boost rose until the end."""

    trace: Trace
    plateau: Plateau | None


def seen(trace: Trace) -> Seen:
    """The pull with its plateau."""
    return Seen(trace, plateau_of(trace))
