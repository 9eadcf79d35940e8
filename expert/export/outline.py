"""A symptom's tree made ready to be drawn, in plain data that any kind of drawing can show.

A spot is a node that is drawn: a check to ask, or a fork on the parts of the car. A leaf names the
suspects. A spot with several ways in is shared: it is drawn once, and elsewhere referred to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from expert.case.safety import Drive
from expert.case.walk import Path
from expert.model import Danger


@dataclass(frozen=True, slots=True)
class Suspicion:
    """A cause that a leaf names, and how likely it is there: from ``low`` to ``high`` by car."""

    cause: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Leaf:
    """The end of a way: suspects, and the drive verdict of a case that ends here."""

    suspects: tuple[Suspicion, ...]
    drive: Drive
    walked: bool


@dataclass(frozen=True, slots=True)
class Lane:
    """Answers of one danger that lead to the same place, in words; one line of the drawing."""

    words: tuple[str, ...]
    danger: Danger
    walked: bool


@dataclass(frozen=True, slots=True)
class Branch:
    """The lanes to one place: a spot by its path, a leaf, or None where the tree is left."""

    lanes: tuple[Lane, ...]
    target: Path | Leaf | None


@dataclass(frozen=True, slots=True)
class CheckSpot:
    """A check to ask.

    ``known``: whatever the way here, it has been asked before and is not asked again.
    ``prepare`` is the work still to be done first. ``withheld``: it loads the engine, and on the
    likeliest way here the load gate is shut.
    """

    check: str
    prepare: tuple[str, ...]
    known: bool
    withheld: bool
    walked: bool
    here: bool
    branches: tuple[Branch, ...]


@dataclass(frozen=True, slots=True)
class ForkSpot:
    """A fork on the parts that the car has."""

    parts: tuple[str, ...]
    walked: bool
    here: bool
    branches: tuple[Branch, ...]


Spot = CheckSpot | ForkSpot


@dataclass(frozen=True, slots=True)
class Outline:
    """The whole tree; ``shared`` spots in an order in which none refers to an earlier one."""

    symptom: str
    root: Path | Leaf | None
    spots: Mapping[Path, Spot]
    shared: tuple[Path, ...]
    cars: int
    case: bool

    def name(self, path: Path) -> str:
        """What a spot is called: the subtree that it is in, or the start."""
        return path[1].replace("-", " ") if path[0] == "subtrees" else "start"
