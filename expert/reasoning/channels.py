"""How the causes of a set act together on one check.

The chance of an answer, given a set S of causes, is written as a signed sum of products

    P(answer | S) = sum over t of weight[t] * product over c in S of factor[t, c]

with one factor per cause, so that a single cause, a pair of causes and a whole matrix of pairs
are equally cheap. Three kinds of check have this form:

* graded: a leaky noisy-MAX over the order of the answers, in its cumulative form
  (M. Henrion, "Some practical issues in constructing belief networks", UAI 1987/1989;
  F. J. Diez, "Parameter adjustment in Bayes networks: the generalized noisy OR-gate", UAI 1993);
* two-sided: a low and a high noisy-MAX channel, with a stated reading when both are active;
* nominal: one leaky noisy-OR a flag, read together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Terms:
    """One answer's likelihood: ``weight`` of shape (t,), ``factor`` of shape (t, causes)."""

    weight: Floats
    factor: Floats

    def of_single(self) -> Floats:
        """P(answer | one cause alone) for every cause, shape (causes,)."""
        return np.maximum(self.weight @ self.factor, 0.0)

    def of_pair(self) -> Floats:
        """P(answer | both causes) for every pair, shape (causes, causes)."""
        return np.maximum((self.factor.T * self.weight) @ self.factor, 0.0)

    def of_none(self) -> float:
        """P(answer | no cause at all): what the leak alone does."""
        return float(max(self.weight.sum(), 0.0))

    def times(self, other: Terms) -> Terms:
        """The product of two likelihoods, in the same form."""
        weight = np.multiply.outer(self.weight, other.weight).ravel()
        factor = (self.factor[:, None, :] * other.factor[None, :, :]).reshape(
            len(weight), self.factor.shape[1]
        )
        return Terms(weight, factor)

    def given_also(self, causes: Sequence[int]) -> Terms:
        """The likelihood when these causes are known to be there as well."""
        return Terms(self.weight * self.factor[:, list(causes)].prod(axis=1), self.factor)


def _cumulative(share: Floats) -> Floats:
    """P(level <= x) for every x from rows of shares; the last is exactly 1."""
    total = np.cumsum(share, axis=0)
    total[-1] = 1.0
    return np.clip(total, 0.0, 1.0)


def graded(share: Floats, leak: Floats) -> list[Terms]:
    """Leaky noisy-MAX.

    ``share`` (answers, causes): how a car with that cause alone answers, healthy first, leak
    aside. ``leak`` (answers,): how a sound car answers. Columns sum to 1.
    """
    below, leak_below = _cumulative(share), _cumulative(leak)
    terms = [Terms(leak_below[:1], below[:1])]
    for x in range(1, len(leak)):
        terms.append(
            Terms(np.array([leak_below[x], -leak_below[x - 1]]), np.stack([below[x], below[x - 1]]))
        )
    return terms


def two_sided(
    low: Floats, low_leak: Floats, high: Floats, high_leak: Floats, both: Floats
) -> list[Terms]:
    """Two noisy-MAX channels, with a stated reading when both are active.

    ``low`` (1 + low answers, causes) and ``high`` (1 + high answers, causes) hold shares with the
    quiet level first, mildest next; the leaks likewise. ``both`` holds the reading when both are
    active, over the quiet answer, the low and the high answers; that is the order of the result.
    """
    low_below, high_below = _cumulative(low), _cumulative(high)
    low_leak_below, high_leak_below = _cumulative(low_leak), _cumulative(high_leak)
    ones = np.ones_like(low_below[:1])
    quiet_low = Terms(low_leak_below[:1], low_below[:1])
    quiet_high = Terms(high_leak_below[:1], high_below[:1])
    active_low = _sum(Terms(np.ones(1), ones), quiet_low, -1.0)
    active_high = _sum(Terms(np.ones(1), ones), quiet_high, -1.0)
    both_active = active_low.times(active_high)

    one_sided = [quiet_low.times(quiet_high)]
    one_sided += [term.times(quiet_high) for term in graded(low, low_leak)[1:]]
    one_sided += [term.times(quiet_low) for term in graded(high, high_leak)[1:]]
    return [
        _sum(term, both_active, float(share)) for term, share in zip(one_sided, both, strict=True)
    ]


def nominal(absent: Floats, leak_absent: Floats, shown: frozenset[int]) -> Terms:
    """Exactly the flags of ``shown`` are seen, each flag a leaky noisy-OR of its own.

    ``absent`` (flags, causes): how often a car with that cause does not show the flag;
    ``leak_absent`` (flags,) the same for a sound car.
    """
    quiet = [k for k in range(len(leak_absent)) if k not in shown]
    terms = Terms(np.array([leak_absent[quiet].prod()]), absent[quiet].prod(axis=0, keepdims=True))
    for k in sorted(shown):
        flag = Terms(
            np.array([1.0, -leak_absent[k]]), np.stack([np.ones_like(absent[k]), absent[k]])
        )
        terms = terms.times(flag)
    return terms


def _sum(first: Terms, second: Terms, scale: float) -> Terms:
    """first + scale * second, in the same form."""
    if scale == 0.0:
        return first
    return Terms(
        np.concatenate([first.weight, scale * second.weight]),
        np.concatenate([first.factor, second.factor]),
    )
