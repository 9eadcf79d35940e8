"""What to do next: repairs in order of probability over cost, and what a check would save.

The rule is that of decision-theoretic troubleshooting: repairs are tried in the order p/C
(J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential
problems", Annals of Statistics 1977), a workshop visit is the way out, and a check is worth what
it lowers the expected cost by, less its own cost, looking one step ahead (D. Heckerman,
J. S. Breese and K. Rommelse, "Decision-theoretic troubleshooting", CACM 1995).

Costs are minutes. Where two faults may be there at once, the shares of the causes are scaled to
the probability that any listed cause is there, so that the order by p/C stays that of the
marginals; this treats the repair that ends the complaint as a single one.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from expert.reasoning.belief import Belief, Prediction, marginals
from expert.reasoning.channels import Floats


def expected_cost(
    joint: Floats, listed: Floats, unlisted: Floats, cost: Floats, way_out: float
) -> Floats:
    """Expected minutes to a working car, weighted by each row's own probability.

    ``joint`` (rows, causes) holds P(row and cause), ``listed`` and ``unlisted`` (rows,) the
    probability of the row with and without a listed cause; ``cost`` (causes,) the minutes of each
    repair. In every row the repairs are tried in the order p/C for as long as that is cheaper
    than the way out.
    """
    total = joint.sum(axis=1, keepdims=True)
    share = joint * np.divide(listed[:, None], total, out=np.zeros_like(total), where=total > 0.0)
    order = np.argsort(-share / cost, axis=1, kind="stable")
    sorted_share = np.take_along_axis(share, order, axis=1)
    open_before = (listed + unlisted)[:, None] - np.concatenate(
        [np.zeros((len(share), 1)), np.cumsum(sorted_share, axis=1)], axis=1
    )
    np.maximum(open_before, 0.0, out=open_before)
    spent = np.concatenate(
        [np.zeros((len(share), 1)), np.cumsum(cost[order] * open_before[:, :-1], axis=1)], axis=1
    )
    result: Floats = (spent + way_out * open_before).min(axis=1)
    return result


def repair_order(belief: Belief, cost: Floats) -> list[int]:
    """The causes in the order in which to try their repairs, by p/C."""
    return [int(k) for k in np.argsort(-marginals(belief) / cost, kind="stable")]


def check_values(
    belief: Belief,
    predictions: Sequence[Prediction],
    check_cost: Floats,
    cost: Floats,
    way_out: float,
) -> Floats:
    """What each check saves, in minutes, after its own cost; shape (checks,).

    A nominal check may answer with several flags at once; those rare readings are taken together
    as one answer more.
    """
    if not predictions:
        return np.zeros(0)
    cause = marginals(belief)
    joints, answers, unlisted, starts = [], [], [], []
    row = 0
    for prediction in predictions:
        starts.append(row)
        rest = max(0.0, 1.0 - float(prediction.answer.sum()))
        joints += [prediction.joint, np.maximum(cause - prediction.joint.sum(axis=0), 0.0)[None]]
        answers += [prediction.answer, np.array([rest])]
        rest_unlisted = max(0.0, belief.unlisted - float(prediction.unlisted.sum()))
        unlisted += [prediction.unlisted, np.array([min(rest, rest_unlisted)])]
        row += len(prediction.answer) + 1
    answer, without = np.concatenate(answers), np.concatenate(unlisted)
    after = expected_cost(
        np.concatenate(joints), np.maximum(answer - without, 0.0), without, cost, way_out
    )
    now = expected_cost(
        cause[None],
        np.array([1.0 - belief.unlisted]),
        np.array([belief.unlisted]),
        cost,
        way_out,
    )[0]
    values: Floats = now - np.add.reduceat(after, starts) - check_cost
    return values
