"""How good stated probabilities were, once it is known what was true.

Brier: G. W. Brier, "Verification of forecasts expressed in terms of probability", Monthly Weather
Review 78, 1950. Log score: I. J. Good, "Rational decisions", Journal of the Royal Statistical
Society B 14, 1952. Calibration error over equal bins: M. P. Naeini, G. F. Cooper and M. Hauskrecht,
"Obtaining well calibrated probabilities using Bayesian binning", AAAI 2015 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
BINS: Final = 10
# What a probability of 0 for what came true is taken for, so that one such case costs much but
# not everything.
LEAST: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Bin:
    """The forecasts between two edges: how many, what they said on the mean, what came true."""

    low: float
    high: float
    count: int
    stated: float
    true: float


def brier(stated: Floats, true: Floats) -> float:
    """Brier's score of yes-or-no forecasts, halved as is usual today: 0 is best, 1 is worst.

    ``stated`` (n,) are probabilities, ``true`` (n,) is 1 where it came true and 0 elsewhere.
    """
    return float(np.mean((stated - true) ** 2))


def brier_classes(stated: Floats, true: npt.NDArray[np.intp]) -> float:
    """Brier's score as he wrote it, summed over all classes: 0 is best, 2 is worst.

    ``stated`` (n, classes) are probabilities, ``true`` (n,) the class that came true.
    """
    hit = stated[np.arange(len(true)), true]
    return float(np.mean((stated**2).sum(axis=1) - 2.0 * hit + 1.0))


def log_loss(hit: Floats) -> float:
    """The mean of -ln of the probability that had been stated for what came true, in nats."""
    return float(-np.mean(np.log(np.maximum(hit, LEAST))))


def bins(stated: Floats, true: Floats, count: int = BINS) -> list[Bin]:
    """Yes-or-no forecasts by what they stated, in bins of equal width; empty bins are left out.

    A forecast on an edge belongs to the bin above it, and 1 to the last.
    """
    place = np.minimum((stated * count).astype(np.intp), count - 1)
    return [
        Bin(
            k / count,
            (k + 1) / count,
            int(inside.sum()),
            float(stated[inside].mean()),
            float(true[inside].mean()),
        )
        for k in range(count)
        if (inside := place == k).any()
    ]


def chance_error(found: Sequence[Bin]) -> float:
    """The calibration error to expect by chance, if every statement were exactly right.

    The mean of the absolute value of a normal variable is its spread times sqrt(2 / pi).
    """
    total = sum(one.count for one in found)
    spread = sum(sqrt(one.count * one.stated * (1.0 - one.stated)) for one in found)
    return sqrt(2.0 / pi) * spread / total


def calibration_error(found: Sequence[Bin]) -> float:
    """The expected calibration error: how far stated and true lie apart, on the mean."""
    total = sum(one.count for one in found)
    return sum(one.count / total * abs(one.stated - one.true) for one in found)
