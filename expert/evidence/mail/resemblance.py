"""What the sentences of a message are like, among those that customers were heard to say."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.likeness import Likeness
from expert.evidence.mail.sentences import Sentence
from expert.evidence.mail.stance import Attitude, Stance
from expert.evidence.mail.words import Token
from expert.loading.heard import TOPICS

Floats = NDArray[np.float64]

# These are told in one breath with something else, so each is judged by itself.
ALONE: Final = ("what-changed", "worked-on", "when-worst")
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


@dataclass(frozen=True, slots=True)
class Alike:
    """An answer that a stretch is like: ``share`` among the answers it is weighed with."""

    check: str
    answer: str
    share: float
    stretch: Stretch


def stretches_of(sentences: Sequence[Sentence], subject_from: int) -> Iterator[Stretch]:
    """The sentences, and the clauses of those that have several; from one on the subject."""
    for number, sentence in enumerate(sentences):
        attitude = Attitude(sentence)
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


@dataclass(frozen=True, slots=True)
class Group:
    """Answers that are weighed together, their places among all labels, and the way back."""

    labels: tuple[str, ...]
    places: list[int]
    columns: Mapping[str, int]
    of_history: bool


class Kin:
    """The labels of the sentences that were heard, and which of them are weighed together."""

    def __init__(self, heard: Mapping[str, Sequence[str]], symptoms: Iterable[str]) -> None:
        self.likeness = Likeness(heard)
        place = {label: number for number, label in enumerate(self.likeness.labels)}
        self.symptoms = {name: place[name] for name in symptoms if name in place}
        self.topics: dict[str, int] = {name: place[name] for name in TOPICS if name in place}
        groups: dict[str, list[str]] = {}
        for label in place:
            check, mark, _ = label.partition("=")
            if mark:
                groups.setdefault(check if check in ALONE else "", []).append(label)
        self.groups = tuple(
            Group(
                tuple(labels),
                [place[one] for one in labels],
                {label: column for column, label in enumerate(labels)},
                bool(name),
            )
            for name, labels in groups.items()
        )

    def answer_to(self, check: str, tokens: Sequence[Token]) -> tuple[str, float] | None:
        """The answer of a check that some words are likest, and its share among its answers.

        Among them and the topics; for words that are known to answer the check.
        """
        places = {
            label.removeprefix(f"{check}="): number
            for number, label in enumerate(self.likeness.labels)
            if label.startswith(f"{check}=")
        }
        if not places or not tokens:
            return None
        shares = self.likeness.shares([tokens])[0]
        answer = max(places, key=lambda name: shares[places[name]])
        among = sum(shares[list(places.values())]) + sum(shares[list(self.topics.values())])
        return answer, float(shares[places[answer]] / among)


class Resemblance:
    """A message beside the sentences that were heard."""

    def __init__(self, stretches: Sequence[Stretch], kin: Kin) -> None:
        self._stretches = stretches
        self._kin = kin
        self._shares = kin.likeness.shares([one.tokens for one in stretches])
        whole = [k for k, one in enumerate(stretches) if one.whole and one.stance != "other-car"]
        self._whole = whole
        self._total: Floats = self._shares[whole].sum(axis=0)

    def topics(self) -> dict[str, float]:
        """How many sentences are like each topic."""
        return {name: float(self._total[place]) for name, place in self._kin.topics.items()}

    def complaints(self) -> dict[str, float]:
        """How many sentences are like each symptom."""
        return {name: float(self._total[place]) for name, place in self._kin.symptoms.items()}

    def findings(self) -> float:
        """How many sentences are like any answer."""
        return float(sum(self._total[group.places].sum() for group in self._kin.groups))

    def best(self, symptom: str) -> tuple[Stretch, float] | None:
        """The sentence that is most like a symptom, and how like."""
        place = self._kin.symptoms.get(symptom)
        if place is None or not self._whole:
            return None
        likest = max(self._whole, key=lambda k: float(self._shares[k, place]))
        return self._stretches[likest], float(self._shares[likest, place])

    def answers(
        self,
        stances: frozenset[Stance],
        of_history: frozenset[Stance],
        least: float,
        also: Iterable[str],
    ) -> Iterator[Alike]:
        """The answers that stretches of the text are like, each with the likest stretch.

        Answers of a share of ``least`` and more, and those in ``also``. Only stretches that are
        meant so count: those of ``of_history`` for what was done. An answer is weighed with the
        others of its group and the topics, since one sentence can tell a complaint and a finding.
        """
        for group, among in zip(self._kin.groups, self._among, strict=True):
            allowed = of_history if group.of_history else stances
            rows = [
                k
                for k, one in enumerate(self._stretches)
                if one.stance in allowed and not one.in_subject
            ]
            if not rows:
                continue
            likest, most = among[rows].argmax(axis=0), among[rows].max(axis=0)
            wanted = {group.columns[label] for label in also if label in group.columns}
            for column in sorted(wanted.union(np.flatnonzero(most >= least).tolist())):
                check, _, answer = group.labels[column].partition("=")
                stretch = self._stretches[rows[int(likest[column])]]
                yield Alike(check, answer, float(most[column]), stretch)

    @cached_property
    def _among(self) -> list[Floats]:
        """For each group the share of its answers among them and the topics."""
        topics = self._shares[:, list(self._kin.topics.values())].sum(axis=1, keepdims=True)
        found = []
        for group in self._kin.groups:
            own = self._shares[:, group.places]
            among = own / (own.sum(axis=1, keepdims=True) + topics + np.finfo(float).tiny)
            found.append(among)
        return found
