"""What the sentences of a message are like, among those that customers were heard to say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.kin import Kin
from expert.evidence.mail.likeness import terms_of
from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.stance import Attitude, Stance
from expert.evidence.mail.words import Token

Floats = NDArray[np.float64]

_LEAST_WORDS: Final = 3


@dataclass(frozen=True, slots=True)
class Stretch:
    """A sentence of a message, or a clause of it: its words, and how it is meant.

    ``sentence`` counts the sentences of the message.
    """

    sentence: int
    whole: bool
    in_subject: bool
    stance: Stance
    tokens: tuple[Token, ...]

    @property
    def start(self) -> int:
        """The first character in the text, or in the subject."""
        return self.tokens[0].start

    @property
    def end(self) -> int:
        """The character after the last."""
        return self.tokens[-1].end


def stretches_of(
    sentences: Sequence[Sentence], attitudes: Sequence[Attitude], subject_from: int
) -> Iterator[Stretch]:
    """The sentences, and the clauses of those that have several; from one on the subject.

    ``attitudes`` are those of the sentences.
    """
    for number, (sentence, attitude) in enumerate(zip(sentences, attitudes, strict=True)):
        own = range(len(sentence.items))
        subject = number >= subject_from
        stance = attitude.of((0,), own) if own else "said"
        yield Stretch(number, True, subject, stance, sentence.tokens)
        if sentence.clauses[-1] == sentence.clauses[0]:
            continue
        for clause, tokens in _clauses(sentence).items():
            if sum(one.is_word for one in tokens) < _LEAST_WORDS:
                continue
            first = next((k for k in own if sentence.items[k].clause == clause), None)
            stance = "said" if first is None else attitude.of((first,), own)
            yield Stretch(number, False, subject, stance, tuple(tokens))


def _clauses(sentence: Sentence) -> dict[int, list[Token]]:
    found: dict[int, list[Token]] = {}
    for token, clause in zip(sentence.tokens, sentence.clauses, strict=True):
        found.setdefault(clause, []).append(token)
    return found


class Resemblance:
    """A message beside the sentences and letters that were heard.

    ``shares`` has the shape (stretches, labels), ``among`` (stretches, answers): there each answer
    is weighed with the others of its group and the topics alone, since one sentence can tell a
    complaint and a finding. ``letter`` has what the whole message is like by main complaint.
    """

    def __init__(self, stretches: Sequence[Stretch], kin: Kin) -> None:
        self.kin = kin
        self.stretches = stretches
        terms = [terms_of(one.tokens) for one in stretches]
        self.shares = kin.likeness.shares(terms)
        self.topics: Floats = self.shares[:, list(kin.topics.values())]
        self.among = self._among()
        own = [
            term
            for one, said in zip(stretches, terms, strict=True)
            if one.whole and not one.in_subject
            for term in said
        ]
        shares = kin.letters.shares([own])[0]
        self.letter = dict(zip(kin.letters.labels, shares.tolist(), strict=True))

    def best(self, symptom: str) -> tuple[Stretch, float] | None:
        """The sentence of the message that is most like a symptom, and how like."""
        place = self.kin.symptoms.get(symptom)
        rows = [
            row
            for row, one in enumerate(self.stretches)
            if one.whole and one.stance != "other-car" and not one.in_subject
        ]
        if place is None or not rows:
            return None
        likest = max(rows, key=lambda row: float(self.shares[row, place]))
        return self.stretches[likest], float(self.shares[likest, place])

    def _among(self) -> Floats:
        kin = self.kin
        own = self.shares[:, kin.columns]
        rest = self.topics.sum(axis=1, keepdims=True) + np.finfo(float).tiny
        among: Floats = own / (own @ kin.member @ kin.member.T + rest)
        return among
