"""Repairs alone: the order p/C, and what it costs until the car works.

For perfect repairs of a single fault, trying them in the order of probability over cost is
optimal (J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential
problems", Annals of Statistics 1977; J. Kalagnanam and M. Henrion, "A comparison of decision
analysis and expert rules for sequential diagnosis", UAI 1988/1990), and a workshop visit that
mends everything is the way out. All costs are minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from expert.reasoning.channels import Floats

# Up to so many rows a loop over the causes costs more than it saves.
FEW_ROWS: Final = 64


def expected_cost(share: Floats, unlisted: Floats, cost: Floats, way_out: float) -> Floats:
    """Expected minutes to a working car with repairs alone, weighted by each row's probability.

    ``share`` (rows, causes) is P(row, and this cause is the one), ``unlisted`` (rows,) P(row, and
    none of them is); ``cost`` (causes,) the minutes of each repair. In every row the repairs are
    tried in the order p/C, for as long as that is cheaper than the way out.
    """
    # Among equals the order does not change the cost, so the quickest sort will do.
    order = np.argsort(share * (-1.0 / cost), axis=1)
    if len(share) <= FEW_ROWS:
        return _cost_of_few(share, unlisted, cost, way_out, order)
    # Causes come first from here on, so that each step of the loop runs through one row of memory.
    order = order.T
    tried = np.take_along_axis(np.ascontiguousarray(share.T), order, axis=0)
    left: Floats = share.sum(axis=1) + unlisted
    spent = np.zeros_like(left)
    least = way_out * left
    for minutes, mended in zip(cost.take(order), tried, strict=True):
        spent += minutes * left
        left -= mended
        np.minimum(least, spent + way_out * left, out=least)
    return least


def _cost_of_few(
    share: Floats, unlisted: Floats, cost: Floats, way_out: float, order: npt.NDArray[np.intp]
) -> Floats:
    """The same to the last bit with no loop, whose overhead a few rows do not repay."""
    tried = np.take_along_axis(share, order, axis=1)
    start = share.sum(axis=1, keepdims=True) + unlisted[:, None]
    left = np.subtract.accumulate(np.concatenate([start, tried], axis=1), axis=1)
    spent = np.add.accumulate(cost.take(order) * left[:, :-1], axis=1)
    stopped = np.concatenate([np.zeros_like(start), spent], axis=1) + way_out * left
    least: Floats = stopped.min(axis=1)
    return least


def repair_order(share: Floats, cost: Floats) -> list[int]:
    """The causes in the order in which to try their repairs: probability over cost, falling."""
    return [int(k) for k in np.argsort(-share / cost, kind="stable")]


def cost_in_order(
    share: Floats, cost: Floats, fixes: Floats, order: Sequence[int], way_out: float = 0.0
) -> float:
    """Expected cost of trying repairs in a given order until one helps, then the way out.

    ``share`` (causes,) may sum to less than 1; the rest is what no repair mends. ``fixes``
    (repairs, causes) is the probability that a repair mends a cause.
    """
    left, rest = share.astype(float), 1.0 - float(share.sum())
    spent = 0.0
    for repair in order:
        spent += float(cost[repair]) * (float(left.sum()) + rest)
        left = left * (1.0 - fixes[repair])
    return spent + way_out * (float(left.sum()) + rest)
