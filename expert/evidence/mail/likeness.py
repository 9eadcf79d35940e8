"""Which of many sentences of known meaning a sentence is most like: naive Bayes over its words.

Multinomial naive Bayes on words and pairs of neighbours; each sentence counts the same, and a word
counts the more the fewer sentences have it. After J. Rennie and others, Tackling the poor
assumptions of naive Bayes text classifiers, ICML 2003, sections 4.1 to 4.3.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.magnitudes import magnitudes_of
from expert.evidence.mail.synonyms import name_of
from expert.evidence.mail.words import NUMBER, Token, stem, tokens_of

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

# What a word that a label was never heard with is taken to weigh. Tried out on messages.
UNHEARD: Final = 0.05
# How far a label that was heard more often is the likelier one: 0 not at all, 1 in proportion.
OFTEN: Final = 0.3
# A pair of neighbours says much of what its words say already.
PAIR: Final = 0.7
# A term is common that one in so many labels has.
_COMMON: Final = 15


@lru_cache(50_000)
def _word(word: str) -> str:
    return name_of(stem(word))


def terms_of(tokens: Sequence[Token]) -> list[str]:
    """Words without their endings, numbers as one, pairs of neighbours, and sizes of numbers."""
    words = [
        NUMBER if one.is_number else _word(one.text)
        for one in tokens
        if one.is_number or one.is_word
    ]
    return [*words, *(f"{one} {other}" for one, other in pairwise(words)), *magnitudes_of(tokens)]


def terms_in(text: str) -> list[str]:
    """The terms of a text."""
    return terms_of(tokens_of(text))


def softmax(score: Floats) -> Floats:
    """Logarithms of weights as shares of each row."""
    weight: Floats = np.exp(score - score.max(axis=1, keepdims=True, initial=-np.inf))
    share: Floats = weight / weight.sum(axis=1, keepdims=True)
    return share


@dataclass(frozen=True, slots=True)
class Learned:
    """What naive Bayes keeps of the sentences it has learned from.

    For each of the ``terms`` how rare it is, and where in ``label`` and ``gain`` the labels that
    have it ``begin``, with what each gains by it; for each of the ``labels`` what a term that it
    was never heard with gives it, and how often it was heard. All but ``begin`` are small, so that
    much of them stays near the processor.
    """

    labels: tuple[str, ...]
    terms: tuple[str, ...]
    rarity: Floats
    begin: Whole
    label: NDArray[np.int32]
    gain: NDArray[np.float32]
    base: Floats
    prior: Floats


def learned_from(heard: Mapping[str, Sequence[Sequence[str]]]) -> Learned:
    """What is kept of sentences by label, each sentence as its terms.

    Pairs of neighbours that stand in one sentence only are left out.
    """
    number: dict[str, int] = {}
    once = _pairs_of_one(chain.from_iterable(heard.values()))
    label, terms, ends = [], [], [0]
    for place, sentences in enumerate(heard.values()):
        for sentence in sentences:
            terms += [number.setdefault(one, len(number)) for one in sentence if one not in once]
            ends.append(len(terms))
            label.append(place)
    counted = _Counted.of(terms, ends)
    width, kinds, count = len(number), len(heard), max(1, len(label))
    having = np.bincount(counted.term, minlength=width)
    rarity: Floats = np.log((1 + count) / (1 + having)) + 1
    rarity *= [PAIR if " " in term else 1.0 for term in number]
    value = counted.weights(rarity, len(label))
    of_row = np.array(label, dtype=np.int64)
    cells, at = np.unique(counted.term * kinds + of_row[counted.row], return_inverse=True)
    weight = np.bincount(at, weights=value, minlength=len(cells))
    total = np.bincount(cells % kinds, weights=weight, minlength=kinds) + UNHEARD * width
    often = np.maximum(np.bincount(of_row, minlength=kinds), 1)
    return Learned(
        tuple(heard),
        tuple(number),
        rarity,
        np.searchsorted(cells, np.arange(width + 1) * kinds),
        (cells % kinds).astype(np.int32),
        np.log1p(weight / UNHEARD).astype(np.float32),
        np.log(UNHEARD) - np.log(total),
        OFTEN * np.log(often / count),
    )


def _pairs_of_one(sentences: Iterable[Sequence[str]]) -> set[str]:
    """The pairs of neighbours that one sentence alone has."""
    once: set[str] = set()
    more: set[str] = set()
    for sentence in sentences:
        pairs = {term for term in sentence if " " in term}
        more |= once & pairs
        once |= pairs
    return once - more


class Likeness:
    """Sentences by label, ready to be compared with others.

    ``labels`` are in the order of the columns of ``shares``.
    """

    def __init__(self, learned: Learned) -> None:
        self.learned = learned
        self.labels = learned.labels
        self._terms = {term: number for number, term in enumerate(learned.terms)}
        self._row, self._rows = _rows_of_common(learned)

    def shares(self, stretches: Sequence[Sequence[str]]) -> Floats:
        """For the terms of each stretch the probability of each label; shape (stretches, labels).

        Before it is read, a stretch is as likely to have one label as another.
        """
        terms: list[int] = []
        ends = [0]
        for stretch in stretches:
            found = map(self._terms.get, stretch)
            terms += [one for one in found if one is not None]
            ends.append(len(terms))
        counted = _Counted.of(terms, ends)
        value = counted.weights(self.learned.rarity, len(stretches))
        length = np.bincount(counted.row, weights=value, minlength=len(stretches))
        score: Floats = self.learned.prior + np.outer(length, self.learned.base)
        rows = self._row[counted.term]
        common = rows >= 0
        found_rows, column = np.unique(rows[common], return_inverse=True)
        weights = np.zeros((len(stretches), len(found_rows)), dtype=np.float32)
        weights[counted.row[common], column] = value[common]
        score += weights @ self._rows[found_rows]
        score += self._of_rare(counted.term[~common], counted.row[~common], value[~common], score)
        return softmax(score)

    def _of_rare(self, term: Whole, row: Whole, value: Floats, like: Floats) -> Floats:
        """What terms that few labels have add to each label, in the shape of ``like``."""
        known = self.learned
        begin = known.begin[term]
        many = known.begin[term + 1] - begin
        cell = np.repeat(begin - (np.cumsum(many) - many), many) + np.arange(many.sum())
        place = np.repeat(row * like.shape[1], many) + known.label[cell]
        gain = known.gain[cell] * np.repeat(value, many)
        found = np.bincount(place, weights=gain, minlength=like.size).astype(np.float64)
        return found.reshape(like.shape)


def _rows_of_common(known: Learned) -> tuple[Whole, NDArray[np.float32]]:
    """The gains of the commonest terms as whole rows, which is quicker than one by one.

    The row of each term, -1 of those that are not common; and the rows.
    """
    many = np.diff(known.begin)
    common = np.flatnonzero(many * _COMMON >= max(1, len(known.labels)))
    row = np.full(len(many), -1)
    row[common] = np.arange(len(common))
    rows = np.zeros((len(common), len(known.labels)), dtype=np.float32)
    cells = np.flatnonzero(np.repeat(row >= 0, many))
    rows[np.repeat(row, many)[cells], known.label[cells]] = known.gain[cells]
    return row, rows


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
