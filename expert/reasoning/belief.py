"""Exact belief over every single cause, every pair of causes, and `unlisted`.

Nothing here knows an id or a text: causes are columns 0..n-1. A belief is a normalised weight for
each single cause (n,), each unordered pair (n, n; symmetric, zero diagonal, each pair standing
twice) and the one hypothesis `unlisted`, something that the knowledge does not hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from expert.reasoning.channels import Floats, Terms

Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Belief:
    """Probabilities of all hypotheses; ``single.sum() + pair.sum() / 2 + unlisted == 1``."""

    single: Floats
    pair: Floats
    unlisted: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """One finding: its likelihood, its chance under `unlisted`, and how it may be a slip.

    With probability ``slip`` the answer is wrong and any of the ``outcomes`` answers comes out.
    """

    terms: Terms
    unlisted: float
    slip: float
    outcomes: int

    def mixed(self, likelihood: Floats) -> Floats:
        """The likelihood with the slip mixed in."""
        return (1.0 - self.slip) * likelihood + self.slip / self.outcomes

    def given_also(self, causes: Sequence[int], unlisted: float | None = None) -> Evidence:
        """The finding as made while these causes, mended since, were there too.

        ``unlisted`` is the chance of the finding beside an unlisted cause; by default that of
        the mended causes alone.
        """
        terms = self.terms.given_also(causes)
        return replace(
            self, terms=terms, unlisted=terms.of_none() if unlisted is None else unlisted
        )


@dataclass(frozen=True, slots=True)
class Question:
    """A check whose answers are to be predicted: one likelihood an answer."""

    answers: tuple[Terms, ...]
    unlisted: Floats
    slip: float


@dataclass(frozen=True, slots=True)
class Prediction:
    """P(answer), shape (answers,), and P(answer and cause), shape (answers, causes).

    ``unlisted`` (answers,) is P(answer and unlisted).
    """

    answer: Floats
    joint: Floats
    unlisted: Floats


def normalised(single: Floats, pair: Floats, unlisted: float) -> Belief:
    """A belief from weights; when every weight has vanished, all of it goes to `unlisted`."""
    total = float(single.sum() + pair.sum() / 2.0 + unlisted)
    if not total > 0.0:
        return Belief(np.zeros_like(single), np.zeros_like(pair), 1.0)
    return Belief(single / total, pair / total, unlisted / total)


def prior(odds: Floats, pairable: Bools, second_fault: float, unlisted: float) -> Belief:
    """The belief before any finding.

    ``odds`` (n,) are relative; they are scaled so that the pairs hold ``second_fault`` of the
    listed probability, however many causes there are. Only ``pairable`` causes form pairs.
    """
    partner = np.where(pairable, odds, 0.0)
    pair = np.outer(partner, partner)
    np.fill_diagonal(pair, 0.0)
    singles, pairs = float(odds.sum()), float(pair.sum() / 2.0)
    if singles == 0.0:
        return Belief(np.zeros_like(odds), pair, 1.0)
    if pairs == 0.0:
        return normalised(odds / singles * (1.0 - unlisted), pair, unlisted)
    listed = 1.0 - unlisted
    return Belief(
        odds / singles * (1.0 - second_fault) * listed,
        pair / pairs * second_fault * listed,
        unlisted,
    )


def updated(belief: Belief, evidence: Evidence) -> Belief:
    """Bayes' rule for one finding."""
    return normalised(
        belief.single * evidence.mixed(evidence.terms.of_single()),
        belief.pair * evidence.mixed(evidence.terms.of_pair()),
        belief.unlisted * float(evidence.mixed(np.array(evidence.unlisted))),
    )


def posterior(start: Belief, findings: Sequence[Evidence]) -> Belief:
    """Bayes' rule for all findings, normalised after each so that nothing underflows."""
    belief = start
    for evidence in findings:
        belief = updated(belief, evidence)
    return belief


def without(belief: Belief, out: Sequence[int]) -> Belief:
    """The belief once these causes are known not to be there."""
    single, pair = belief.single.copy(), belief.pair.copy()
    index = list(out)
    single[index] = 0.0
    pair[index, :] = 0.0
    pair[:, index] = 0.0
    return normalised(single, pair, belief.unlisted)


def beside(belief: Belief, cause: int) -> Belief:
    """What else is there, once this cause is known to be: its partners, or nothing more.

    The partner of each pair becomes a single cause; that there is nothing more takes the place of
    `unlisted`. Nothing is known of a third cause.
    """
    single = belief.pair[cause].copy()
    return normalised(single, np.zeros_like(belief.pair), float(belief.single[cause]))


def marginals(belief: Belief) -> Floats:
    """P(cause is there), alone or with another, shape (n,)."""
    result: Floats = belief.single + belief.pair.sum(axis=1)
    return result


def any_of(belief: Belief, member: Bools) -> float:
    """P(at least one of the marked causes is there)."""
    rest = ~member
    quiet = belief.single[rest].sum() + belief.pair[np.ix_(rest, rest)].sum() / 2.0
    return float(min(1.0, max(0.0, 1.0 - belief.unlisted - quiet)))


class Stack:
    """Questions made ready to be predicted together, as often as the belief changes."""

    def __init__(self, questions: Sequence[Question]) -> None:
        terms = [answer for question in questions for answer in question.answers]
        counts = [len(question.answers) for question in questions]
        ends = np.cumsum(counts).tolist()
        self.rows = [slice(end - count, end) for end, count in zip(ends, counts, strict=True)]
        slip = np.repeat([question.slip for question in questions], counts)
        self.keep, self.share = 1.0 - slip, slip / np.repeat(counts, counts)
        self.unlisted = np.concatenate([question.unlisted for question in questions])
        self.factor = np.concatenate([term.factor for term in terms])
        weight = np.concatenate([term.weight for term in terms])
        self.weighted = self.factor * weight[:, None]
        self.starts = np.cumsum([0] + [len(term.weight) for term in terms])[:-1]


def predict(belief: Belief, questions: Sequence[Question] | Stack) -> list[Prediction]:
    """The answers to expect to every question, from one product with the pair matrix."""
    if not isinstance(questions, Stack):
        if not questions:
            return []
        questions = Stack(questions)
    # In place, since the array is large: P(answer's terms, this cause, alone or with another).
    together = questions.factor @ belief.pair
    together += belief.single
    together *= questions.weighted
    joint = np.add.reduceat(together, questions.starts)
    # A pair stands in the joint once for each of its causes, so it is counted half.
    alone = np.add.reduceat(questions.weighted @ belief.single, questions.starts)
    mass = (joint.sum(axis=1) + alone) / 2.0

    share, keep = questions.share, questions.keep
    unlisted = belief.unlisted * (keep * questions.unlisted + share)
    answer = keep * mass + share * (1.0 - belief.unlisted) + unlisted
    joint *= keep[:, None]
    joint += share[:, None] * marginals(belief)
    np.maximum(joint, 0.0, out=joint)
    return [Prediction(answer[rows], joint[rows], unlisted[rows]) for rows in questions.rows]


Story = tuple[int, ...]


def best_story(belief: Belief) -> Story:
    """The likeliest hypothesis: one cause, two causes, or none listed (an empty tuple)."""
    candidates: list[tuple[float, Story]] = [(belief.unlisted, ())]
    if len(belief.single):
        alone = int(np.argmax(belief.single))
        candidates.append((float(belief.single[alone]), (alone,)))
        flat = int(np.argmax(belief.pair))
        first, second = divmod(flat, len(belief.single))
        candidates.append((float(belief.pair[first, second]), (first, second)))
    return max(candidates)[1]


def chance_under(story: Story, evidence: Evidence) -> float:
    """P(this finding | the story), slip included."""
    if not story:
        likelihood = evidence.unlisted
    else:
        fixed = evidence.terms.given_also(story)
        likelihood = max(float(fixed.weight.sum()), 0.0)
    return float(evidence.mixed(np.array(likelihood)))
