"""What to do next: a check, a repair, or the workshop.

Decision-theoretic troubleshooting (D. Heckerman, J. S. Breese and K. Rommelse, CACM 1995;
F. V. Jensen et al., "The SACSO methodology for troubleshooting complex systems", AIEDAM 2001).
A check is worth what it lowers the expected cost by, after its own cost. Looking one step ahead
weighs each check against repairs alone. That misses that checks and repairs interleave: after a
failed repair a check may still help, and one check may only pay with the next. So the best few
actions, repairs among them, are weighed again with one more check allowed afterwards.

Here one fault is taken to be behind the complaint: where two may be there, the shares are the
marginals, scaled to the probability that any listed cause is there. Costs are minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from expert.reasoning.belief import Belief, Prediction, marginals
from expert.reasoning.channels import Floats
from expert.reasoning.repairs import expected_cost, repair_order

# How much the second look considers; more changes little and costs time (see the benchmarks).
CHECKS_KEPT: Final = 8
CAUSES_KEPT: Final = 24
REPAIRS_KEPT: Final = 3


@dataclass(frozen=True, slots=True)
class Test:
    """A check as the plan sees it.

    ``likelihood`` (answers, causes) is P(answer | cause), ``unlisted`` (answers,) P(answer | none
    of them), ``cost`` its minutes.
    """

    __test__ = False

    likelihood: Floats
    unlisted: Floats
    cost: float


@dataclass(frozen=True, slots=True)
class Problem:
    """A car to be mended: who may be to blame, what repairs, checks and the way out cost.

    ``share`` (causes,) and ``unlisted`` sum to 1, or to the probability of getting here.
    ``saved[j][k]`` are minutes that check k costs less once check j has been done, because they
    share preparations; None when they share nothing.
    """

    share: Floats
    unlisted: float
    repair_cost: Floats
    way_out: float
    tests: tuple[Test, ...]
    saved: Floats | None = None

    @property
    def mass(self) -> float:
        """The probability of being here."""
        return float(self.share.sum()) + self.unlisted

    def after_repair(self, index: int) -> Problem:
        """The problem once this repair has been tried and has not helped."""
        share = self.share.copy()
        share[index] = 0.0
        return replace(self, share=share)

    def after_answer(self, index: int, answer: int) -> Problem:
        """The problem once this check has given this answer; weighted by how likely that is."""
        test = self.tests[index]
        return replace(
            self,
            share=self.share * test.likelihood[answer],
            unlisted=self.unlisted * float(test.unlisted[answer]),
            tests=self.tests[:index] + self.tests[index + 1 :],
            saved=None,
        )


@dataclass(frozen=True, slots=True)
class Costs:
    """Minutes of each check and each repair, and of the way out; ``saved`` as in ``Problem``."""

    check: Floats
    repair: Floats
    way_out: float
    saved: Floats | None = None


@dataclass(frozen=True, slots=True)
class Action:
    """Something to do, and the expected minutes to a working car that begins with it."""

    kind: Literal["check", "repair", "way-out"]
    index: int
    expected: float


def repairs_alone(problem: Problem) -> float:
    """Expected minutes without any further check."""
    return float(
        expected_cost(
            problem.share[None],
            np.array([problem.unlisted]),
            problem.repair_cost,
            problem.way_out,
        )[0]
    )


class _Stack:
    """All tests of a problem, their answers stacked, so that many states are weighed at once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.likelihood = np.concatenate([test.likelihood for test in problem.tests])
        self.unlisted = np.concatenate([test.unlisted for test in problem.tests])
        counts = [len(test.unlisted) for test in problem.tests]
        self.starts = np.cumsum([0, *counts])[:-1]
        self.owner = np.repeat(np.arange(len(counts)), counts)
        self.cost = np.array([test.cost for test in problem.tests])

    def one_check_allowed(self, share: Floats, unlisted: Floats, done: Sequence[int]) -> Floats:
        """The cost of each state with repairs alone or after the one best check, (states,).

        ``done[s]`` is the check that led to state s, or -1; it is not asked twice.
        """
        problem = self.problem
        alone = expected_cost(share, unlisted, problem.repair_cost, problem.way_out)
        states, causes = share.shape
        after = expected_cost(
            (share[:, None, :] * self.likelihood).reshape(-1, causes),
            (unlisted[:, None] * self.unlisted).ravel(),
            problem.repair_cost,
            problem.way_out,
        ).reshape(states, -1)
        mass = share.sum(axis=1) + unlisted
        own = np.broadcast_to(self.cost, (states, len(self.cost)))
        led = np.array(done)
        if problem.saved is not None:
            own = np.where(led[:, None] >= 0, own - problem.saved[led], own)
        checked = np.add.reduceat(after, self.starts, axis=1) + own * mass[:, None]
        checked = np.where(led[:, None] == np.arange(len(self.cost)), np.inf, checked)
        result: Floats = np.minimum(alone, checked.min(axis=1))
        return result


def actions(problem: Problem, repairs: Sequence[int] | None = None) -> list[Action]:
    """Every action with its expected cost, one more check allowed after it; cheapest first.

    ``repairs`` are those that may come next; without it, the first few in the order p/C.
    """
    if repairs is None:
        order = repair_order(problem.share, problem.repair_cost)
        repairs = [k for k in order if problem.share[k] > 0.0][:REPAIRS_KEPT]
    found = [Action("way-out", 0, problem.way_out * problem.mass)]
    if not problem.tests:
        for k in repairs:
            left = problem.after_repair(k)
            cost = problem.repair_cost[k] * problem.mass + repairs_alone(left)
            found.append(Action("repair", k, float(cost)))
        return sorted(found, key=lambda action: action.expected)

    stack = _Stack(problem)
    share = [stack.likelihood * problem.share]
    unlisted = [stack.unlisted * problem.unlisted]
    for k in repairs:
        share.append(problem.after_repair(k).share[None])
        unlisted.append(np.array([problem.unlisted]))
    led = [*stack.owner.tolist(), *[-1] * len(repairs)]
    later = stack.one_check_allowed(np.concatenate(share), np.concatenate(unlisted), led)

    rows = len(stack.owner)
    checked = np.add.reduceat(later[:rows], stack.starts) + stack.cost * problem.mass
    found += [Action("check", k, float(cost)) for k, cost in enumerate(checked)]
    for k, cost in zip(repairs, later[rows:], strict=True):
        total = float(problem.repair_cost[k]) * problem.mass + float(cost)
        found.append(Action("repair", k, total))
    return sorted(found, key=lambda action: action.expected)


def one_step_values(belief: Belief, predictions: Sequence[Prediction], costs: Costs) -> Floats:
    """What each check saves against repairs alone, after its own cost, in minutes; (checks,).

    Exact over all pairs: the answers come from ``belief.predict``, which takes one product with
    the pair matrix for all checks. A nominal check may answer with several flags at once; those
    rare readings are taken together as one answer more.
    """
    if not predictions:
        return np.zeros(0)
    cause = marginals(belief)
    joint = np.concatenate([prediction.joint for prediction in predictions])
    without = np.concatenate([prediction.unlisted for prediction in predictions])
    starts = np.cumsum([0, *(len(prediction.unlisted) for prediction in predictions[:-1])])
    # What the single answers of a check leave is one answer more, a row for each check.
    rest = np.maximum(cause - np.add.reduceat(joint, starts), 0.0)
    without_rest = np.maximum(belief.unlisted - np.add.reduceat(without, starts), 0.0)
    share = np.concatenate([joint, rest]) * _scale(belief, cause)
    after = expected_cost(
        share, np.concatenate([without, without_rest]), costs.repair, costs.way_out
    )
    now = expected_cost(
        cause[None] * _scale(belief, cause),
        np.array([belief.unlisted]),
        costs.repair,
        costs.way_out,
    )[0]
    answered, left = after[: len(joint)], after[len(joint) :]
    values: Floats = now - (np.add.reduceat(answered, starts) + left) - costs.check
    return values


def _scale(belief: Belief, cause: Floats) -> float:
    """What turns marginals into shares of a single fault."""
    total = float(cause.sum())
    return (1.0 - belief.unlisted) / total if total > 0.0 else 0.0


def _with_rest(belief: Belief, cause: Floats, prediction: Prediction) -> tuple[Floats, Floats]:
    """P(answer, cause) and P(answer, unlisted), with what the single answers leave as one more."""
    rest = np.maximum(cause - prediction.joint.sum(axis=0), 0.0)
    rest_unlisted = max(0.0, belief.unlisted - float(prediction.unlisted.sum()))
    return (
        np.concatenate([prediction.joint, rest[None]]),
        np.concatenate([prediction.unlisted, [rest_unlisted]]),
    )


def problem_of(belief: Belief, predictions: Sequence[Prediction], costs: Costs) -> Problem:
    """The problem that a belief poses, cut down to its likeliest causes.

    The causes that are left out, and `unlisted`, are together what only the way out mends.
    """
    cause = marginals(belief)
    kept = np.array(kept_causes(belief), dtype=np.intp)
    left_out = np.ones(len(cause), bool)
    left_out[kept] = False
    scale = _scale(belief, cause)
    others = belief.unlisted + scale * float(cause[left_out].sum())
    tests = []
    for prediction, cost in zip(predictions, costs.check, strict=True):
        joint, without = _with_rest(belief, cause, prediction)
        known = cause[kept]
        likelihood = np.divide(
            joint[:, kept], known, out=np.zeros((len(without), len(kept))), where=known > 0.0
        )
        other_rows = without + scale * joint[:, left_out].sum(axis=1)
        total = float(other_rows.sum())
        tests.append(
            Test(likelihood, other_rows / total if total > 0.0 else other_rows, float(cost))
        )
    return Problem(
        share=scale * cause[kept],
        unlisted=others,
        repair_cost=costs.repair[kept],
        way_out=costs.way_out,
        tests=tuple(tests),
        saved=costs.saved,
    )


def kept_causes(belief: Belief) -> list[int]:
    """The columns of the belief that ``problem_of`` keeps, in its order."""
    return sorted(int(k) for k in np.argsort(-marginals(belief), kind="stable")[:CAUSES_KEPT])
