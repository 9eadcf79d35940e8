"""What phrases and likeness say together: which complaints, what kind of message, which answers.

The weights were tried out on labelled messages that neither the phrases nor the sentences had seen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import exp, log
from typing import Final

from expert.evidence.mail.understood import MessageKind

# A sentence that is like a complaint weighs as much as phrases of so many words, and phrases weigh
# at most so much.
_SENTENCE: Final = 5.0
_MOST_OF_PHRASES: Final = 6.0
# The main complaint weighs at least so much, another so much, and so much of the main one; one that
# means stop less of it.
_LEAST_OF_MAIN: Final = 1.0
_LEAST: Final = 2.5
_BESIDE: Final = 0.6
_GRAVE_BESIDE: Final = 0.7
_LEAST_OF_GRAVE: Final = 0.4
# The answers below this share of their group are not looked at.
LEAST_SHARE: Final = 0.08
CERTAIN: Final = 0.5
# A shorter stretch is as sure as one of so many words.
_SHORT: Final = 8
# From here on a grave matter that is not taken as told is worth a look.
WORTH_A_LOOK: Final = 0.15
# An answer that means stop is better believed once too often: a red flag, the more where a phrase
# names it, and other answers that a phrase names.
CERTAIN_OF_FLAG: Final = 0.25
CERTAIN_OF_NAMED_FLAG: Final = 0.03
CERTAIN_OF_NAMED_DANGER: Final = 0.35


def weighed(by_phrases: Mapping[str, float], sentences: Mapping[str, float]) -> dict[str, float]:
    """How much is said for each complaint: by its phrases, and by sentences that are like it."""
    return {
        name: _SENTENCE * sentences.get(name, 0.0)
        + min(by_phrases.get(name, 0.0), _MOST_OF_PHRASES)
        for name in dict.fromkeys([*by_phrases, *sentences])
    }


def told(
    weight: Mapping[str, float], sentences: Mapping[str, float], grave: Iterable[str]
) -> set[str]:
    """The complaints that are told: the main one, and those that weigh nearly as much.

    A grave one beside it takes a sentence that is like it: a number past its target may be a spike.
    """
    top = max(weight.values(), default=0.0)
    if top < _LEAST_OF_MAIN:
        return set()
    grave = {name for name in grave if sentences.get(name, 0.0) >= _LEAST_OF_GRAVE}
    return {
        name
        for name, own in weight.items()
        if own == top or own >= max(_LEAST, top * (_GRAVE_BESIDE if name in grave else _BESIDE))
    }


def kind_of(
    by_phrases: MessageKind,
    complaints: float,
    findings: float,
    topics: Mapping[str, float],
    *,
    flagged: bool,
) -> MessageKind:
    """What a message is, by its phrases and by the number of sentences that are like each kind.

    ``flagged`` says that a red flag is told.
    """
    weight: dict[MessageKind, float] = {
        "complaint": complaints
        + 0.2 * findings
        + 0.4 * (by_phrases == "complaint")
        + 1.0 * flagged,
        "vague": 2.0 * topics.get("vague", 0.0) + 0.5 * (by_phrases == "vague"),
        "unrelated": 1.5 * topics.get("unrelated", 0.0)
        + 0.5 * topics.get("none", 0.0)
        + 0.4 * (by_phrases == "unrelated"),
    }
    return max(weight, key=lambda kind: weight[kind])


def certainty(
    share: float, words: int, *, phrased: bool, history: bool, code: bool, hinted: bool = False
) -> float:
    """How sure an answer is told: logistic regression on its share, and on what else is known.

    ``share`` is that of the likest stretch among the answers it is weighed with, ``words`` how long
    that is; ``phrased`` says that a phrase says so too, ``history`` that it tells of what was done,
    ``code`` that it is a stored code, ``hinted`` that something else in the message suggests it.
    """
    likely = log(max(share, 1e-5))
    score = -3.6 + 1.1 * likely + 2.32 * share + 0.72 * log(max(_SHORT, words))
    score += phrased * (2.46 - 0.7 * likely) - 1.2 * history + 1.89 * (code and phrased)
    score += 1.5 * hinted
    return 1.0 / (1.0 + exp(-score))
