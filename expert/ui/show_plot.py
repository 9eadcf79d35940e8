"""The curves of a log as plots, each with the evidence it holds in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from expert.export.log_curves import ENGINE_SPEED, Curve
from expert.text import clean
from expert.ui.protocol import Block, Plot, Points, Steps

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# More points than a window has columns change nothing that can be seen.
_MOST_POINTS: Final = 1_500
_LETTERS: Final = "abcdefgh"


def plot_blocks(drawn: Sequence[Curve], spring_kpa: float | None) -> list[Block]:
    """Each curve as a plot, and under it what its marked stretches show."""
    return [block for curve in drawn for block in _blocks(curve, spring_kpa)]


def _blocks(curve: Curve, spring_kpa: float | None) -> list[Block]:
    marks = list(zip(_LETTERS, curve.marks, strict=False))
    over_rpm = curve.x_label == ENGINE_SPEED
    plot = Plot(
        title=curve.title[:1].upper() + curve.title[1:],
        unit="kPa above outside air",
        x_name=curve.x_label,
        curve_name="boost",
        curve=_points(curve.x, curve.boost_kpa, over_rpm),
        target_name="target",
        target=() if curve.target_kpa is None else _points(curve.x, curve.target_kpa, over_rpm),
        level_name="spring",
        level=spring_kpa,
        strip_name="duty",
        strip=() if curve.duty_pct is None else _points(curve.x, curve.duty_pct, over_rpm),
        marks=tuple((letter, mark.from_x, mark.to_x) for letter, mark in marks),
    )
    told = tuple(f"{letter}: {clean(mark.text)}" for letter, mark in marks)
    return [plot, *([Steps("Shown by the letters:", told)] if told else [])]


def _points(x: NDArray[np.float64], y: NDArray[np.float64], in_order: bool) -> Points:
    """The points of a curve that both axes have, thinned evenly.

    Engine speed wavers, so its points are put in order, and neighbours stay neighbours.
    """
    import numpy as np

    kept = np.flatnonzero(np.isfinite(x) & np.isfinite(y))
    if in_order:
        kept = kept[np.argsort(x[kept], kind="stable")]
    step = max(1, len(kept) // _MOST_POINTS)
    return tuple((float(x[row]), float(y[row])) for row in kept[::step])
