"""How well a check tells causes apart, in decibans.

Let a check be answered by cars with one cause as p says, and by cars with another as q says. The
weight of evidence for the one against the other is then KL(p, q) on average over cars with the
one, and KL(q, p) over those with the other. The strength is the mean of both, half the divergence
J of S. Kullback, "Information Theory and Statistics", 1959, chapter 1; as a weight of evidence it
is in decibans, a tenth of a factor of ten on the odds (I. J. Good, "Probability and the Weighing of
Evidence", 1950). Strengths of checks that are answered independently of each other add up.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from expert.reasoning.channels import Floats

DECIBANS_PER_NAT: Final = 10.0 / np.log(10.0)


def with_slip(shares: Floats, slip: float) -> Floats:
    """Distributions, one a column of ``shares`` (answers, causes), as they are heard.

    With probability ``slip`` any of the answers comes out, as the reasoning has it.
    """
    whole: Floats = shares / shares.sum(axis=0)
    heard: Floats = (1.0 - slip) * whole + slip / len(shares)
    return heard


def telling(shares: Floats) -> Floats:
    """Decibans for every pair of columns of ``shares`` (answers, causes), which must be over 0.

    Symmetric, and zero for columns that are equal; shape (causes, causes).
    """
    logs = np.log(shares)
    crossed = shares.T @ logs
    own = np.diag(crossed)
    both = own[:, None] - crossed
    told: Floats = np.maximum(DECIBANS_PER_NAT / 2.0 * (both + both.T), 0.0)
    return told
