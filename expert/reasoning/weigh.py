"""What each finding says for or against each cause, and which finding is doubtful."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from expert.reasoning.belief import (
    Belief,
    Evidence,
    best_story,
    chance_under,
    marginals,
    posterior,
    without,
)
from expert.reasoning.channels import Floats

_EDGE = 1e-15


def decibans(probability: Floats) -> Floats:
    """Odds on a scale of ten times the common logarithm.

    The unit is Turing's deciban (I. J. Good, "Studies in the history of probability and
    statistics XXXVII", Biometrika 1979). Certainty is kept finite by a margin of 1e-15.
    """
    p = np.clip(probability, _EDGE, 1.0 - _EDGE)
    result: Floats = 10.0 * (np.log10(p) - np.log10(1.0 - p))
    return result


def weights(start: Belief, findings: Sequence[Evidence], out: Sequence[int] = ()) -> Floats:
    """Leave-one-out weight of evidence, in decibans, shape (findings, causes).

    The weight of a finding for a cause is how far its odds would move if that finding alone were
    taken away. ``out`` are causes known not to be there.
    """
    start = without(start, out) if out else start
    if not findings:
        return np.zeros((0, len(start.single)))
    whole = decibans(marginals(posterior(start, findings)))
    rows = []
    for k in range(len(findings)):
        others = [*findings[:k], *findings[k + 1 :]]
        rows.append(whole - decibans(marginals(posterior(start, others))))
    return np.stack(rows)


def doubtful(
    belief: Belief, findings: Sequence[Evidence], below: float, notable: float
) -> list[int]:
    """Findings that hardly fit: even the best story gives them less than ``below``.

    A finding that some rivals of the best story do explain is not doubtful while those rivals
    together hold at least ``notable`` of the belief; it may well point at a second fault.
    """
    story = best_story(belief)
    return [
        k
        for k, evidence in enumerate(findings)
        if chance_under(story, evidence) < below and explained(belief, evidence, below) < notable
    ]


def explained(belief: Belief, evidence: Evidence, at_least: float) -> float:
    """The belief in all stories that give the finding at least this chance."""
    single = evidence.mixed(evidence.terms.of_single()) >= at_least
    pair = evidence.mixed(evidence.terms.of_pair()) >= at_least
    unlisted = evidence.mixed(np.array(evidence.unlisted)) >= at_least
    return float(
        belief.single[single].sum() + belief.pair[pair].sum() / 2.0 + belief.unlisted * unlisted
    )
