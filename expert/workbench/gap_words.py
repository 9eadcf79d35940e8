"""Causes about which a check is silent although something else in the files implies an answer.

Silence is a claim: such a car is taken to answer as a sound one. Two things make it worth a look.
Of all checks, the one whose words come nearest to what confirms the cause does not name it. Or a
check names nearly all causes that often show a symptom, and leaves this one out.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from expert.model import Check, Knowledge
from expert.reasoning.channels import Floats
from expert.reasoning.network import AS_DESIGNED
from expert.workbench.gap_cars import Car
from expert.workbench.gap_pairs import Bools

# So much of what is rare in the words of `confirm` must be in those of the check.
LEAST_SHARED: Final = 0.4
# A cause shows a symptom often from this share on: "fifty-fifty".
OFTEN: Final = 0.5
# A check names nearly all of at least so many causes when it names this share of them.
LEAST_CAUSES: Final = 8
NEARLY_ALL: Final = 0.9

_WORD: Final = re.compile(r"[a-z]{4,}")
_ENDING: Final = re.compile(r"(ings?|ed|es|s|ly|e)$")


class Silence(NamedTuple):
    """A cause, the check that does not name it, and why it is worth a look.

    ``symptom`` is None where the words are the reason; ``share`` is that of the words, or of the
    symptom's causes that the check does name.
    """

    cause: str
    check: str
    symptom: str | None
    share: float


def silences(knowledge: Knowledge, every: Sequence[Car]) -> list[Silence]:
    """Every silence that is worth a look, of causes and checks that one of the cars has both of."""
    causes = [name for name in knowledge.causes if not name.startswith(AS_DESIGNED)]
    checks = [name for name, check in knowledge.checks.items() if check.kind != "history"]
    together = np.zeros((len(causes), len(checks)), bool)
    for parts in {car.parts for car in every}:
        has = np.array([parts.issuperset(knowledge.causes[cause].needs) for cause in causes], bool)
        does = np.array([knowledge.checks[check].fits(parts) for check in checks], bool)
        together |= has[:, None] & does
    named = np.array(
        [[cause in knowledge.checks[check].given for check in checks] for cause in causes], bool
    ).reshape(together.shape)
    return [
        *_by_words(knowledge, causes, checks, together, named),
        *_by_symptoms(knowledge, causes, checks, together, named),
    ]


def _by_words(
    knowledge: Knowledge,
    causes: Sequence[str],
    checks: Sequence[str],
    together: Bools,
    named: Bools,
) -> Iterator[Silence]:
    if not causes or not checks:
        return
    shared = shared_words(
        [knowledge.causes[cause].confirm for cause in causes],
        [_text_of(knowledge.checks[check]) for check in checks],
    )
    shared = np.where(together, shared, 0.0)
    for row, cause in enumerate(causes):
        nearest = int(shared[row].argmax())
        share = float(shared[row, nearest])
        if share >= LEAST_SHARED and not named[row, nearest]:
            yield Silence(cause, checks[nearest], None, share)


def _by_symptoms(
    knowledge: Knowledge,
    causes: Sequence[str],
    checks: Sequence[str],
    together: Bools,
    named: Bools,
) -> Iterator[Silence]:
    for name, symptom in knowledge.symptoms.items():
        shows = np.array([symptom.causes.get(cause, 0.0) >= OFTEN for cause in causes], bool)
        able = together & shows[:, None]
        count = able.sum(axis=0)
        share = (able & named).sum(axis=0) / np.maximum(count, 1)
        for column in np.nonzero((count >= LEAST_CAUSES) & (share >= NEARLY_ALL))[0].tolist():
            for row in np.nonzero(able[:, column] & ~named[:, column])[0].tolist():
                yield Silence(causes[row], checks[column], name, float(share[column]))


def _text_of(check: Check) -> str:
    return " ".join([check.ask, *check.how, *check.answers.values()])


def shared_words(texts: Sequence[str], others: Sequence[str]) -> Floats:
    """How much of each text is said in each of the others, (texts, others), from 0 to 1.

    Words count without their endings and by the log of how few texts hold them (K. Sparck Jones, "A
    statistical interpretation of term specificity and its application in retrieval", 1972).
    """
    stems, against = [_stems(text) for text in texts], [_stems(text) for text in others]
    spread = Counter(word for words in (*stems, *against) for word in words)
    number = {word: k for k, word in enumerate(spread)}
    rare = np.log((len(texts) + len(others)) / np.array(list(spread.values()), float))
    weight = _marked(stems, number) * rare
    whole = weight.sum(axis=1, keepdims=True)
    found: Floats = np.divide(
        weight @ _marked(against, number).T,
        whole,
        out=np.zeros((len(texts), len(others))),
        where=whole > 0.0,
    )
    return found


def _marked(texts: Sequence[set[str]], number: dict[str, int]) -> Floats:
    marked = np.zeros((len(texts), len(number)))
    for row, words in enumerate(texts):
        marked[row, [number[word] for word in words]] = 1.0
    return marked


def _stems(text: str) -> set[str]:
    return {_ENDING.sub("", word) for word in _WORD.findall(text.lower())}
