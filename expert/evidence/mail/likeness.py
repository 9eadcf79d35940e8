"""Which of many sentences of known meaning a sentence is most like: naive Bayes over its words.

Multinomial naive Bayes on words and pairs of neighbours; each sentence counts the same, and a word
counts the more the fewer sentences have it. After J. Rennie and others, Tackling the poor
assumptions of naive Bayes text classifiers, ICML 2003, sections 4.1 to 4.3.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.synonyms import name_of
from expert.evidence.mail.words import NUMBER, Token, stem, tokens_of

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

# What a word that a label was never heard with is taken to weigh. Tried out on messages.
UNHEARD: Final = 0.02
# How far a label that was heard more often is the likelier one: 0 not at all, 1 in proportion.
OFTEN: Final = 0.3
# A pair of neighbours says much of what its words say already.
PAIR: Final = 0.7


@lru_cache(50_000)
def _word(word: str) -> str:
    return name_of(stem(word))


def terms_of(tokens: Iterable[Token]) -> list[str]:
    """Words without their endings, numbers as one, and pairs of neighbours."""
    words = [
        NUMBER if one.is_number else _word(one.text)
        for one in tokens
        if one.is_number or one.is_word
    ]
    return [*words, *(f"{one} {other}" for one, other in pairwise(words))]


def softmax(score: Floats) -> Floats:
    """Logarithms of weights as shares of each row."""
    weight: Floats = np.exp(score - score.max(axis=1, keepdims=True, initial=-np.inf))
    share: Floats = weight / weight.sum(axis=1, keepdims=True)
    return share


class Likeness:
    """Sentences by label, ready to be compared with others.

    ``labels`` are in the order of the columns of ``shares``.
    """

    def __init__(self, heard: Mapping[str, Sequence[str]]) -> None:
        self.labels = tuple(heard)
        self._terms: dict[str, int] = {}
        label, terms, ends = [], [], [0]
        for number, sentences in enumerate(heard.values()):
            for sentence in sentences:
                terms += [self._number(one) for one in terms_of(tokens_of(sentence))]
                ends.append(len(terms))
                label.append(number)
        self._learn(np.array(label, dtype=np.int64), _Counted.of(terms, ends))

    def _number(self, term: str) -> int:
        return self._terms.setdefault(term, len(self._terms))

    def _learn(self, label: Whole, counted: _Counted) -> None:
        """The weights of terms, and what each label gains by each of its terms."""
        width, kinds = len(self._terms), len(self.labels)
        sentences = max(1, len(label))
        having = np.bincount(counted.term, minlength=width)
        self._rarity = np.log((1 + sentences) / (1 + having)) + 1
        self._rarity *= [PAIR if " " in term else 1.0 for term in self._terms]
        value = counted.weights(self._rarity, len(label))
        cells, at = np.unique(counted.term * kinds + label[counted.row], return_inverse=True)
        heard = np.bincount(at, weights=value, minlength=len(cells))
        self._label = cells % kinds
        self._gain = np.log1p(heard / UNHEARD)
        self._begin = np.searchsorted(cells, np.arange(width + 1) * kinds)
        total = np.bincount(self._label, weights=heard, minlength=kinds) + UNHEARD * width
        self._base = np.log(UNHEARD) - np.log(total)
        often = np.bincount(label, minlength=kinds)
        self._prior = OFTEN * np.log(np.maximum(often, 1) / sentences)

    def shares(self, stretches: Sequence[Iterable[Token]]) -> Floats:
        """For each stretch of words the probability of each label; shape (stretches, labels).

        Before it is read, a stretch is as likely to have one label as another.
        """
        terms: list[int] = []
        ends = [0]
        for tokens in stretches:
            found = map(self._terms.get, terms_of(tokens))
            terms += [one for one in found if one is not None]
            ends.append(len(terms))
        counted = _Counted.of(terms, ends)
        value = counted.weights(self._rarity, len(stretches))
        kinds = len(self.labels)
        begin = self._begin[counted.term]
        many = self._begin[counted.term + 1] - begin
        cell = np.repeat(begin - (np.cumsum(many) - many), many) + np.arange(many.sum())
        place = np.repeat(counted.row * kinds, many) + self._label[cell]
        gain = self._gain[cell] * np.repeat(value, many)
        size = len(stretches) * kinds
        length = np.bincount(counted.row, weights=value, minlength=len(stretches))
        score: Floats = self._prior + np.outer(length, self._base)
        score += np.bincount(place, weights=gain, minlength=size).reshape(score.shape)
        return softmax(score)


class _Counted:
    """Which term stands how often in which row; every pair of term and row once."""

    def __init__(self, term: Whole, row: Whole, times: Whole) -> None:
        self.term, self.row, self.times = term, row, times

    @classmethod
    def of(cls, terms: Sequence[int], ends: Sequence[int]) -> _Counted:
        """From the terms of all rows in one list, and where each row ends."""
        term = np.array(terms, dtype=np.int64)
        row = np.repeat(np.arange(len(ends) - 1), np.diff(ends))
        width = int(term.max(initial=0)) + 1
        pairs, times = np.unique(row * width + term, return_counts=True)
        return cls(pairs % width, pairs // width, times)

    def weights(self, rarity: Floats, rows: int) -> Floats:
        """What each pair weighs, so that the weights of a row have the length 1."""
        value: Floats = (1 + np.log(self.times)) * rarity[self.term]
        length = np.sqrt(np.bincount(self.row, weights=value**2, minlength=rows))
        return value / length[self.row]
