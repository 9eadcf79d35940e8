"""Learns from the letters of the knowledge how sure a message tells what it seems to tell.

``python -m tests.mail_fit`` prints how well letters are judged by what was learned from others, and
``--write`` keeps what was learned from all in ``expert/evidence/mail/learned.json``.

The letters are taken apart by file, since one hand wrote a file: what is learned for a fold has
seen neither the words nor the habits of its hands. The signs of every letter are those beside
sentences and letters of other folds, as those of a new message are.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.ensemble import GradientBoostingClassifier
from sklearn.linear_model import LogisticRegression

from expert.evidence.mail.judgement import CERTAIN, LEARNED, MUST_STAND, Judgement, any_of
from expert.evidence.mail.kin import Kin
from expert.evidence.mail.lexicon import Lexicon
from expert.evidence.mail.message import read_message
from expert.evidence.mail.signs import (
    KINDS,
    Message,
    answer_signs,
    complaint_signs,
    kind_signs,
)
from expert.evidence.mail.understand import beside_heard
from expert.loading.folder import load, shipped_folder
from expert.loading.heard import load_heard
from expert.loading.letters import Letter, load_letters
from expert.model import Knowledge

Floats = NDArray[np.float64]

FOLDS = 5
BOUNDS = (0.5, 0.6, 0.65, 0.7, 0.75, 0.8)
DIGITS = 6


@cache
def knowledge() -> Knowledge:
    return load([shipped_folder()])


@dataclass
class Read:
    """A letter beside what was heard in other folds."""

    letter: Letter
    fold: int
    message: Message
    phrased: frozenset[str]


@dataclass
class Rows:
    """Signs and what is true of them; ``letter`` counts the letters."""

    names: tuple[str, ...] = ()
    signs: list[Floats] = field(default_factory=list)
    true: list[Any] = field(default_factory=list)
    letter: list[int] = field(default_factory=list)

    def add(self, signs: Mapping[str, Any], true: Sequence[Any], letter: int) -> None:
        self.names = tuple(signs)
        rows = np.stack([np.atleast_1d(one) for one in signs.values()], axis=1)
        self.signs.extend(rows)
        self.true.extend(true)
        self.letter.extend([letter] * len(rows))


def folds_of(letters: Sequence[Letter]) -> list[int]:
    """The fold of each letter: that of its file, every fold about as many files."""
    files = sorted({one.file for one in letters})
    order = np.random.default_rng(1).permutation(len(files))
    fold = {file: int(number) % FOLDS for file, number in zip(files, order, strict=True)}
    return [fold[one.file] for one in letters]


def read_apart(letters: Sequence[Letter]) -> Iterator[Read]:
    """Every letter beside the sentences that were heard, and the letters of other folds."""
    heard = load_heard([shipped_folder()], knowledge())
    folds = folds_of(letters)
    for fold in range(FOLDS):
        others = [one for one, own in zip(letters, folds, strict=True) if own != fold]
        lexicon = Lexicon(knowledge(), Kin.of(heard, others))
        for letter, own in zip(letters, folds, strict=True):
            if own == fold:
                beside = beside_heard(read_message(letter.text.encode()), lexicon)
                if beside is not None:
                    yield Read(letter, fold, *beside)


def kind_rows(read: Sequence[Read]) -> Rows:
    rows = Rows()
    for number, one in enumerate(read):
        rows.add(kind_signs(one.message), [KINDS.index(one.letter.topic)], number)
    return rows


def complaint_rows(read: Sequence[Read]) -> Rows:
    rows = Rows()
    for number, one in enumerate(read):
        told = one.letter.complaints()
        true = [name in told for name in one.message.symptoms]
        rows.add(complaint_signs(one.message), true, number)
    return rows


def answer_rows(
    read: Sequence[Read], kinds: Floats, complaints: Sequence[Floats]
) -> tuple[Rows, list[str]]:
    """The rows, and the answer that each is about; by what kinds and complaints were judged."""
    dangerous = dangers()
    rows, labels = Rows(), []
    for number, one in enumerate(read):
        found = answer_signs(
            one.message, one.phrased, dangerous, kinds[number].tolist(), complaints[number]
        )
        names = [one.message.like.kin.answers[int(place)] for place in found.answers]
        told = one.letter.answers()
        rows.add(found.signs, [name in told for name in names], number)
        labels += names
    return rows, labels


@cache
def dangers() -> frozenset[str]:
    """The answers that mean stop."""
    return frozenset(f"{check}={answer}" for check, answer in Lexicon(knowledge()).dangerous)


def linear(rows: Rows, chosen: NDArray[np.bool_]) -> dict[str, Any]:
    """A logistic regression on standardised signs, as plain numbers."""
    signs, true = np.array(rows.signs)[chosen], np.array(rows.true)[chosen]
    mean, scale = signs.mean(axis=0), signs.std(axis=0) + 1e-9
    model = LogisticRegression(C=1.0, max_iter=5000).fit((signs - mean) / scale, true)
    return {
        "signs": list(rows.names),
        "mean": rounded(mean),
        "scale": rounded(scale),
        "weights": [rounded(row) for row in model.coef_],
        "bias": rounded(model.intercept_),
    }


def rounded(numbers: Floats) -> list[float]:
    return [float(f"{number:.{DIGITS}g}") for number in numbers]


def trees(rows: Rows, chosen: NDArray[np.bool_]) -> dict[str, Any]:
    """Gradient boosting, as plain numbers."""
    model = GradientBoostingClassifier(
        n_estimators=160,
        max_depth=5,
        learning_rate=0.08,
        subsample=0.5,
        max_features=14,
        min_samples_leaf=30,
        init="zero",
        random_state=0,
    )
    model.fit(np.array(rows.signs)[chosen], np.array(rows.true)[chosen])
    return {"signs": list(rows.names), "trees": as_plain(model)}


def as_plain(model: GradientBoostingClassifier) -> dict[str, Any]:
    """The trees of a boosted classifier that starts at zero, as ``Trees`` takes them."""
    plain: dict[str, Any] = {"start": 0.0}
    plain |= {name: [] for name in ("begin", "column", "bound", "left", "right", "value")}
    for (one,) in model.estimators_:
        tree, offset = one.tree_, len(plain["column"])
        leaf = tree.children_left < 0
        plain["begin"].append(offset)
        plain["column"] += np.where(leaf, -1, tree.feature).tolist()
        plain["bound"] += rounded(np.where(leaf, 0.0, tree.threshold))
        plain["left"] += np.where(leaf, 0, tree.children_left + offset).tolist()
        plain["right"] += np.where(leaf, 0, tree.children_right + offset).tolist()
        plain["value"] += rounded(np.where(leaf, tree.value[:, 0, 0] * model.learning_rate, 0.0))
    return plain


class Fitted:
    """What is learned from letters, and how the letters of each fold are judged by the others."""

    def __init__(self, read: Sequence[Read]) -> None:
        self.read = read
        self.fold = np.array([one.fold for one in read])
        self.kind = kind_rows(read)
        self.complaint = complaint_rows(read)
        count = len(read[0].message.symptoms)
        self.kinds = np.zeros((len(read), len(KINDS)))
        self.complaints = np.zeros((len(read), count))
        for fold in range(FOLDS):
            model = {
                "kind": linear(self.kind, self.fold != fold),
                "complaint": linear(self.complaint, np.repeat(self.fold != fold, count)),
                "answer": {"signs": [], "trees": _NO_TREES},
            }
            judge = Judgement(model)
            for number in np.flatnonzero(self.fold == fold):
                message = read[number].message
                self.kinds[number] = judge.kinds(kind_signs(message))
                self.complaints[number] = judge.complaints(complaint_signs(message))
        self.answer, self.labels = answer_rows(read, self.kinds, self.complaints)
        self.letter = np.array(self.answer.letter)
        self.chances = np.zeros(len(self.labels))
        signs = np.array(self.answer.signs)
        for fold in range(FOLDS):
            own = self.fold[self.letter] == fold
            learned = {**model, "answer": trees(self.answer, ~own)}
            columns = dict(zip(self.answer.names, signs[own].T, strict=True))
            self.chances[own] = Judgement(learned).answers(columns)

    def learned(self) -> dict[str, Any]:
        """What is learned from all."""
        return {
            "kind": linear(self.kind, np.ones(len(self.kind.true), bool)),
            "complaint": linear(self.complaint, np.ones(len(self.complaint.true), bool)),
            "answer": trees(self.answer, np.ones(len(self.labels), bool)),
        }

    def figures(self) -> str:
        """How well the letters of each fold are judged by what was learned from the others."""
        letters = [one.letter for one in self.read]
        kind = self.kinds.argmax(axis=1)
        topics = np.array([KINDS.index(one.topic) for one in letters])
        symptoms = self.read[0].message.symptoms
        main = [symptoms[int(place)] for place in self.complaints.argmax(axis=1)]
        told = [place for place, one in enumerate(letters) if one.topic == "complaint"]
        right = sum(
            kind[place] == 0 and main[place] == letters[place].complaints()[0] for place in told
        )
        lines = [
            f"letters {len(letters)}, kind right {np.mean(kind == topics):.3f}",
            f"main complaint right {right / len(told):.3f}",
        ]
        wanted = sum(len(one.answers()) for one in letters)
        for bound in BOUNDS:
            kept = self._kept(bound, kind)
            good = sum(self.answer.true[place] for place in kept)
            lines.append(
                f"answers from {bound:.2f}: right {good / len(kept):.3f}, found {good / wanted:.3f}"
            )
        lines += self._stops()
        false = [place for place in self._kept(CERTAIN, kind) if topics[self.letter[place]] == 2]
        complained = int(np.sum((topics == 2) & (kind == 0)))
        lines.append(
            f"of {int(np.sum(topics == 2))} unrelated: {len(false)} answers, "
            f"{complained} complaints made up"
        )
        return "\n".join(lines)

    def _kept(self, bound: float, kind: NDArray[np.int64]) -> list[int]:
        """The rows whose answer counts: the surest of its check, in a letter of a car."""
        several = Lexicon(knowledge()).several
        best: dict[tuple[int, str], int] = {}
        for place in np.argsort(-self.chances, kind="stable"):
            letter, label = int(self.letter[place]), self.labels[place]
            if self.chances[place] < bound or KINDS[kind[letter]] == "unrelated":
                continue
            check = label.partition("=")[0]
            best.setdefault((letter, label if check in several else check), int(place))
        return list(best.values())

    def _stops(self) -> Iterator[str]:
        grave = [
            number
            for number, name in enumerate(self.read[0].message.symptoms)
            if knowledge().symptoms[name].danger == "stop"
        ]
        danger = 1.0 - np.prod(1.0 - self.complaints[:, grave], axis=1)
        for place, label in enumerate(self.labels):
            if label in dangers():
                letter = self.letter[place]
                danger[letter] = any_of([danger[letter], self.chances[place]])
        must = np.array([_must_stand(one.letter) for one in self.read])
        for bound in (0.1, 0.15, 0.2, MUST_STAND, 0.3, 0.4, 0.5):
            stopped = danger >= bound
            yield (
                f"stops from {bound:.2f}: right {np.mean(must[stopped]):.3f}, "
                f"found {np.mean(stopped[must]):.3f} of {int(must.sum())}"
            )


_NO_TREES: Mapping[str, Any] = {
    "start": 0.0,
    "begin": [0],
    "column": [-1],
    "bound": [0.0],
    "left": [0],
    "right": [0],
    "value": [0.0],
}


def _must_stand(letter: Letter) -> bool:
    """Does a letter tell a grave complaint, or an answer that means stop?"""
    grave = any(knowledge().symptoms[name].danger == "stop" for name in letter.complaints())
    return grave or not dangers().isdisjoint(letter.answers())


def main(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mail_fit", description=__doc__)
    parser.add_argument("--write", action="store_true", help="keep what was learned from all")
    options = parser.parse_args(arguments)
    fitted = Fitted(list(read_apart(load_letters([shipped_folder()], knowledge()))))
    print(fitted.figures())
    if options.write:
        LEARNED.write_text(json.dumps(fitted.learned(), separators=(",", ":")) + "\n", "utf-8")
        print(f"written {LEARNED.name}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
