"""Causes that no check tells apart, and symptoms that the same causes show."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from expert.reasoning.channels import Floats
from expert.workbench.gap_cars import Car
from expert.workbench.strength import telling

# Both of two look-alikes show one symptom at least so often; "improbable" in the words of the
# files. A rarer pair seldom has to be told apart.
BOTH_SHOW: Final = 0.15
# Symptoms are the same where no cause shows one more often than the other by more than this.
SAME_SHARES: Final = 0.05

Bools = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.intp]


class Apart(NamedTuple):
    """How well each pair of causes of a car is told apart, in decibans, all (causes, causes).

    ``best`` by the check that tells most, which is number ``which`` of the car's checks (-1 when
    no check tells anything), and ``total`` by all of them together.
    """

    best: Floats
    which: Numbers
    total: Floats


def told_apart(car: Car) -> Apart:
    """Every pair of the car's causes, by all of its checks."""
    size = (len(car.causes), len(car.causes))
    found = Apart(np.zeros(size), np.full(size, -1, np.intp), np.zeros(size))
    for number, shares in enumerate(car.answers):
        decibans = telling(shares)
        found.which[decibans > found.best] = number
        np.maximum(found.best, decibans, out=found.best)
        np.add(found.total, decibans, out=found.total)
    return found


def often_together(car: Car, looked_at: Bools) -> Bools:
    """Pairs of causes, each once, that show one symptom often, and of which both are looked at."""
    often = (car.shows >= BOTH_SHOW).astype(float)
    together: Bools = np.triu((often.T @ often) > 0.0, 1) & looked_at[:, None] & looked_at
    return together


class LookAlike(NamedTuple):
    """Two causes, the check that tells them apart best, and decibans by it and by all checks."""

    causes: tuple[str, str]
    check: str | None
    decibans: float
    total: float


def look_alikes(car: Car, looked_at: Bools, below: float) -> Iterator[LookAlike]:
    """Pairs that show one symptom, and that the best check tells apart by less than ``below``."""
    apart = told_apart(car)
    for i, j in np.argwhere(often_together(car, looked_at) & (apart.best < below)):
        one, other = sorted((car.causes[i], car.causes[j]))
        which = apart.which[i, j]
        yield LookAlike(
            (one, other),
            None if which < 0 else car.checks[which],
            float(apart.best[i, j]),
            float(apart.total[i, j]),
        )


def same_symptoms(car: Car) -> Iterator[tuple[int, int, float]]:
    """Numbers of symptoms that the same causes show, and by how much their shares differ."""
    for i, one in enumerate(car.shows):
        for j in range(i + 1, len(car.shows)):
            differs = float(np.abs(one - car.shows[j]).max(initial=0.0))
            if one.any() and differs <= SAME_SHARES:
                yield i, j, differs
