"""How well a check tells causes apart, in decibans.

For two causes with answers distributed as p and q, a check is worth, on average, the divergence
J(p, q) / 2 = (KL(p, q) + KL(q, p)) / 2: the mean weight of evidence for the cause that is there,
over both causes (S. Kullback and R. A. Leibler, "On information and sufficiency", 1951; I. J. Good,
Probability and the Weighing of Evidence, 1950).
"""

from __future__ import annotations

from typing import Final

import numpy as np

from expert.reasoning.channels import Floats

DECIBANS_PER_NAT: Final = 10.0 / np.log(10.0)


def with_slip(shares: Floats, slip: float) -> Floats:
    """Distributions, one a column of ``shares`` (answers, causes), as they are heard."""
    whole: Floats = shares / shares.sum(axis=0)
    heard: Floats = (1.0 - slip) * whole + slip / len(shares)
    return heard


def telling(shares: Floats) -> Floats:
    """Decibans for every pair of columns of ``shares`` (answers, causes), all positive.

    Symmetric, zero on the diagonal and for columns that are equal; shape (causes, causes).
    """
    logs = np.log(shares)
    crossed = shares.T @ logs
    own = np.diag(crossed)
    both = own[:, None] - crossed + (own[None, :] - crossed.T)
    return np.maximum(DECIBANS_PER_NAT / 2.0 * both, 0.0)
