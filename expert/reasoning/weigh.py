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


def doubtful(belief: Belief, findings: Sequence[Evidence], below: float) -> list[int]:
    """Findings that even the best story, fitted with them, gives less than ``below``."""
    story = best_story(belief)
    return [k for k, evidence in enumerate(findings) if chance_under(story, evidence) < below]
