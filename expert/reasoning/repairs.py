"""Repairs alone: the order p/C, and what it costs until the car works.

For perfect repairs of a single fault, trying them in the order of probability over cost is
optimal (J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential
problems", Annals of Statistics 1977; J. Kalagnanam and M. Henrion, "A comparison of decision
analysis and expert rules for sequential diagnosis", UAI 1988/1990), and a workshop visit that
mends everything is the way out. All costs are minutes.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from expert.reasoning.channels import Floats


def expected_cost(share: Floats, unlisted: Floats, cost: Floats, way_out: float) -> Floats:
    """Expected minutes to a working car with repairs alone, weighted by each row's probability.

    ``share`` (rows, causes) is P(row, and this cause is the one), ``unlisted`` (rows,) P(row, and
    none of them is); ``cost`` (causes,) the minutes of each repair. In every row the repairs are
    tried in the order p/C, for as long as that is cheaper than the way out.
    """
    order = np.argsort(-share / cost, axis=1, kind="stable")
    ordered = np.take_along_axis(share, order, axis=1)
    # still_open[:, k] is the probability that the first k repairs have not mended the car.
    still_open = np.empty((share.shape[0], share.shape[1] + 1))
    still_open[:, -1] = unlisted
    still_open[:, :-1] = np.cumsum(ordered[:, ::-1], axis=1)[:, ::-1] + unlisted[:, None]
    spent = np.zeros_like(still_open)
    np.cumsum(cost[order] * still_open[:, :-1], axis=1, out=spent[:, 1:])
    result: Floats = (spent + way_out * still_open).min(axis=1)
    return result


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
