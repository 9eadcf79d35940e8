"""The cheapest of all plans for a small problem, to judge the quick plan by.

An exact dynamic programme over belief states: which checks have been answered how, and which
repairs have been tried without success. Its work grows as the product of (answers + 1) over the
checks times 2 ** repairs, so it is for a handful of each.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from expert.reasoning.channels import Floats
from expert.reasoning.plan import Action, Problem, actions


@dataclass(frozen=True, slots=True)
class Trouble:
    """A small decision problem in its general form.

    ``share`` (causes,) is the prior. Each check has a ``likelihood`` (answers, causes) and a
    cost. A repair costs ``repair_cost`` (repairs,) and mends a cause with the probability in
    ``fixes`` (repairs, causes), independently of what failed before; whether it helped is seen.
    ``ends`` (ways out, causes) is what ending the matter in each way costs under each cause.
    """

    share: Floats
    likelihoods: tuple[Floats, ...]
    check_cost: Floats
    repair_cost: Floats
    fixes: Floats
    ends: Floats


def trouble(problem: Problem) -> Trouble:
    """A plan's problem in the general form; `unlisted` is one cause more, that no repair mends."""
    causes = len(problem.share)
    return Trouble(
        share=np.append(problem.share, problem.unlisted),
        likelihoods=tuple(
            np.column_stack([test.likelihood, test.unlisted]) for test in problem.tests
        ),
        check_cost=np.array([test.cost for test in problem.tests]),
        repair_cost=problem.repair_cost,
        fixes=np.eye(causes, causes + 1),
        ends=np.full((1, causes + 1), problem.way_out),
    )


def optimum(case: Trouble) -> float:
    """The least expected cost of all plans."""
    sizes = [len(likelihood) for likelihood in case.likelihoods]
    checks, repairs = range(len(sizes)), range(len(case.repair_cost))
    seen = [
        _table([likelihood[:, cause] for likelihood in case.likelihoods])
        for cause in range(len(case.share))
    ]
    asked_sets = sorted(range(1 << len(sizes)), key=int.bit_count, reverse=True)
    block = {asked: _block(asked, sizes) for asked in asked_sets}

    value: dict[int, Floats] = {}
    for tried in sorted(range(1 << len(repairs)), key=int.bit_count, reverse=True):
        share = case.share.copy()
        for repair in repairs:
            if tried >> repair & 1:
                share = share * (1.0 - case.fixes[repair])
        weight = [p * table for p, table in zip(share, seen, strict=True)]
        mass = sum(weight, start=np.zeros(()))
        best = np.min(
            [sum(c * w for c, w in zip(end, weight, strict=True)) for end in case.ends], axis=0
        )
        for repair in repairs:
            if not tried >> repair & 1:
                after = case.repair_cost[repair] * mass + value[tried | 1 << repair]
                best = np.minimum(best, after)
        for asked in asked_sets:
            here = block[asked]
            for k in checks:
                if not asked >> k & 1:
                    answered = best[block[asked | 1 << k]].sum(axis=k, keepdims=True)
                    best[here] = np.minimum(best[here], case.check_cost[k] * mass[here] + answered)
        value[tried] = best
    return float(value[0][block[0]].item())


def _table(columns: list[Floats]) -> Floats:
    """P(these answers | one cause) for every choice of answers; the last index is unasked."""
    table = np.ones(())
    for column in columns:
        table = np.multiply.outer(table, np.append(column, 1.0))
    return table


def _block(asked: int, sizes: list[int]) -> tuple[slice, ...]:
    """The states in which exactly these checks have been answered."""
    return tuple(
        slice(0, size) if asked >> k & 1 else slice(size, size + 1) for k, size in enumerate(sizes)
    )


def planned(problem: Problem) -> float:
    """Expected minutes when the quick plan is followed to the end, every branch counted."""
    if problem.mass <= 0.0:
        return 0.0
    return cost_of(problem, actions(problem)[0])


def cost_of(problem: Problem, action: Action) -> float:
    """Expected minutes when this action comes first and the quick plan follows."""
    if action.kind == "way-out":
        return problem.way_out * problem.mass
    if action.kind == "repair":
        own = float(problem.repair_cost[action.index])
        return own * problem.mass + planned(problem.after_repair(action.index))
    test = problem.tests[action.index]
    answers = range(len(test.unlisted))
    return test.cost * problem.mass + sum(
        planned(problem.after_answer(action.index, answer)) for answer in answers
    )


def entropy_bits(share: Floats) -> float:
    """The uncertainty of a distribution, in bits (C. E. Shannon 1948).

    No way of asking questions with at most m answers that always ends in certainty takes fewer
    than entropy / log2(m) of them on average.
    """
    p = share[share > 0.0] / share.sum()
    return float(-(p * np.log2(p)).sum())


def information_bits(share: Floats, likelihood: Floats) -> float:
    """What one check tells about the cause, in bits; ``likelihood`` is (answers, causes)."""
    joint = likelihood * share
    answer = joint.sum(axis=1)
    kept = sum(p * entropy_bits(row) for p, row in zip(answer, joint, strict=True) if p > 0.0)
    return entropy_bits(share) - float(kept / answer.sum())
