"""The pieces in which a tree is drawn, so that it stays narrow and every piece is drawn once."""

from __future__ import annotations

from expert.case.walk import Path
from expert.export.outline import CheckSpot, Outline

# A frame is full with so many checks one after the other, or so many spots in all; what follows
# begins another frame, unless it is a last check that leads to leaves only.
_DEPTH = 4
_SPOTS = 8


def frames(outline: Outline) -> dict[Path, int]:
    """The first spot of every frame with the frame's number, in reading order from 1."""
    if not isinstance(outline.root, tuple):
        return {}
    numbers: dict[Path, int] = {}
    waiting = [outline.root]
    while waiting:
        start = waiting.pop(0)
        if start not in numbers:
            numbers[start] = len(numbers) + 1
            waiting += _left_for_others(outline, start)
    return numbers


def _left_for_others(outline: Outline, start: Path) -> list[Path]:
    """The spots where other frames begin, in the order in which this frame refers to them."""
    beyond: list[Path] = []
    inside = [(start, 1)]
    for path, depth in inside:
        full = depth >= _DEPTH or len(inside) >= _SPOTS
        for target in _targets(outline, path):
            if target in outline.shared or (full and _targets(outline, target)):
                beyond.append(target)
            else:
                inside.append((target, depth + isinstance(outline.spots[target], CheckSpot)))
    return beyond


def _targets(outline: Outline, path: Path) -> list[Path]:
    branches = outline.spots[path].branches
    return [branch.target for branch in branches if isinstance(branch.target, tuple)]
