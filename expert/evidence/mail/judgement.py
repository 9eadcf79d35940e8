"""How sure a message tells a kind, a complaint, an answer: what was learned from letters.

``learned.json`` is written by ``python -m tests.mail_fit``: logistic regressions for kinds and
complaints, boosted trees for answers, over the signs of each. It knows no label, so knowledge that
has others is judged alike.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.likeness import softmax
from expert.evidence.mail.trees import Trees

Floats = NDArray[np.float64]

LEARNED: Final = Path(__file__).with_name("learned.json")
# From here on an answer counts, a complaint beside the main one counts, and a car must stand.
# ``python -m tests.mail_fit`` prints what other bounds would give.
CERTAIN: Final = 0.72
CERTAIN_BESIDE: Final = 0.5
MUST_STAND: Final = 0.2
# From here on a grave matter that is not taken as told is worth a look.
WORTH_A_LOOK: Final = 0.1


class Linear:
    """Logistic regression on standardised signs, for several classes or for one."""

    def __init__(
        self,
        *,
        signs: Sequence[str],
        mean: Sequence[float],
        scale: Sequence[float],
        weights: Sequence[Sequence[float]],
        bias: Sequence[float],
    ) -> None:
        self.signs = tuple(signs)
        self._mean, self._scale = np.array(mean), np.array(scale)
        self._weights, self._bias = np.array(weights), np.array(bias)

    def chances(self, rows: Floats) -> Floats:
        """The probability of each class; shape (rows, classes), of one class (rows,)."""
        score: Floats = (rows - self._mean) / self._scale @ self._weights.T + self._bias
        return logistic(score[:, 0]) if score.shape[1] == 1 else softmax(score)


def logistic(score: Floats) -> Floats:
    """The probability that logarithms of odds stand for."""
    found: Floats = np.exp(-np.logaddexp(0.0, -score))
    return found


class Judgement:
    """What was learned, ready to judge signs."""

    def __init__(self, learned: Mapping[str, Any]) -> None:
        self._kind = Linear(**learned["kind"])
        self._complaint = Linear(**learned["complaint"])
        self._answer_signs = tuple(learned["answer"]["signs"])
        self._answer = Trees(**learned["answer"]["trees"])

    def kinds(self, signs: Mapping[str, float]) -> Floats:
        """The probability of each kind, in the order of ``KINDS``."""
        row = np.array([[signs[name] for name in self._kind.signs]])
        found: Floats = self._kind.chances(row)[0]
        return found

    def complaints(self, signs: Mapping[str, Floats]) -> Floats:
        """The probability of each complaint."""
        return self._complaint.chances(_rows(signs, self._complaint.signs))

    def answers(self, signs: Mapping[str, Floats]) -> Floats:
        """The probability of each answer."""
        return logistic(self._answer.score(_rows(signs, self._answer_signs)))


def _rows(signs: Mapping[str, Floats], names: Iterable[str]) -> Floats:
    found: Floats = np.stack([signs[name] for name in names], axis=1)
    return found


@cache
def judgement() -> Judgement:
    """What comes with the program."""
    return Judgement(json.loads(LEARNED.read_text("utf-8")))


def any_of(chances: Iterable[float]) -> float:
    """The probability that at least one of several things is so that know nothing of each other."""
    none = 1.0
    for one in chances:
        none *= 1.0 - one
    return 1.0 - none
