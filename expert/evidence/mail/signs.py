"""What there is to judge a message by, as numbers: one row for it, for each complaint and answer.

The names stand beside the numbers, since what was learned from such rows is kept in a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.kin import HISTORY
from expert.evidence.mail.resemblance import Resemblance
from expert.evidence.mail.stance import Stance
from expert.evidence.mail.understood import MessageKind

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

KINDS: Final[tuple[MessageKind, ...]] = ("complaint", "vague", "unrelated")
# Below this share of its group an answer is not looked at, unless a phrase tells it.
LEAST_SHARE: Final = 0.06
# A shorter stretch says as little as one of so many words.
_SHORT: Final = 6
_TINY: Final = 1e-4
_NONE: Final = 1e-6
_STANCES: Final[tuple[Stance, ...]] = (
    *("asked", "supposed", "hearsay"),
    *("denied", "guessed", "past"),
)
_STANCE_NUMBER: Final = {stance: number for number, stance in enumerate(_STANCES)}
# These are told in ways of their own.
_CHECKS: Final = ("what-changed", "worked-on", "when-worst", "stored-codes")
_MEANT: Final[frozenset[Stance]] = frozenset({"said", "guessed"})


@dataclass(frozen=True)
class Message:
    """A message beside what was heard, and what its phrases and figures say.

    ``symptoms`` are all that there are, in the order of the rows of complaints. ``by_words`` is how
    much phrases and figures say for each, ``by_phrases`` the kind that they make of the message;
    ``flagged`` says that a phrase tells a danger.
    """

    like: Resemblance
    symptoms: Sequence[str]
    by_phrases: MessageKind
    by_words: Mapping[str, float]
    flagged: bool

    @cached_property
    def told(self) -> Floats:
        """The shares of complaints in each stretch; shape (stretches, symptoms)."""
        shares = self.like.shares
        places = [self.like.kin.symptoms.get(name, -1) for name in self.symptoms]
        padded = np.hstack((shares, np.zeros((len(shares), 1))))
        found: Floats = padded[:, places]
        return found

    @cached_property
    def sums(self) -> Floats:
        """How many sentences are like each complaint."""
        found: Floats = self.told[self.whole].sum(axis=0)
        return found

    @cached_property
    def among(self) -> Floats:
        """The shares of complaints in each stretch, among them and the topics alone."""
        rest = self.told.sum(axis=1, keepdims=True) + self.like.topics.sum(axis=1, keepdims=True)
        found: Floats = self.told / (rest + _NONE)
        return found

    @cached_property
    def meant(self) -> Flags:
        """Which stretches are said, or guessed."""
        return np.array([one.stance in _MEANT for one in self.like.stretches], dtype=bool)

    @cached_property
    def whole(self) -> Flags:
        """Which stretches are sentences about the own car."""
        return np.array([one.whole and one.stance != "other-car" for one in self.like.stretches])

    @cached_property
    def topics(self) -> Floats:
        """How many sentences are like none, vague and unrelated mail."""
        found: Floats = self.like.topics[self.whole].sum(axis=0)
        return found

    @cached_property
    def of_letter(self) -> Floats:
        """The logarithms of what the whole message is like: each symptom, vague, unrelated."""
        like = self.like.letter
        return np.log([like.get(one, 0.0) + _NONE for one in (*self.symptoms, *KINDS[1:])])

    @cached_property
    def findings(self) -> float:
        """How many sentences are like any answer."""
        return float(self.like.shares[self.whole][:, self.like.kin.columns].sum())


def _most(rows: Floats) -> Floats:
    """The greatest of each column, 0 where there are no rows."""
    found: Floats = rows.max(axis=0, initial=0.0)
    return found


def _beside(values: Floats) -> Floats:
    """For each value the greatest of the others."""
    if len(values) <= 1:
        return np.zeros(len(values))
    order = np.argsort(values)
    found = np.full(len(values), values[order[-1]])
    found[order[-1]] = values[order[-2]]
    return found


def kind_signs(message: Message) -> dict[str, float]:
    """What tells the kind of a message."""
    told = message.told
    sentences = max(1, int(message.whole.sum()))
    sums = message.sums
    words = [message.by_words.get(name, 0.0) for name in message.symptoms]
    letter = message.of_letter
    none, vague, unrelated = message.topics
    return {
        "complaints": float(sums.sum()),
        "likest complaint": float(sums.max(initial=0.0)),
        "likest sentence": float(message.among[message.meant].max(initial=0.0)),
        "likest of all": float(told[message.meant].max(initial=0.0)),
        "words": sum(words),
        "most words": max(words, default=0.0),
        "none": float(none),
        "vague": float(vague),
        "unrelated": float(unrelated),
        "mean none": float(none) / sentences,
        "mean vague": float(vague) / sentences,
        "mean unrelated": float(unrelated) / sentences,
        "findings": message.findings,
        "mean findings": message.findings / sentences,
        "flagged": float(message.flagged),
        **{f"by phrases {kind}": float(message.by_phrases == kind) for kind in KINDS},
        "sentences": float(sentences),
        "letter likest complaint": float(letter[:-2].max(initial=np.log(_NONE))),
        "letter complaints": float(np.log(np.exp(letter[:-2]).sum() + _NONE)),
        "letter vague": float(letter[-2]),
        "letter unrelated": float(letter[-1]),
    }


def complaint_signs(message: Message) -> dict[str, Floats]:
    """What tells each complaint; every sign has one number for each symptom."""
    count, sums = len(message.symptoms), message.sums
    likest = _most(message.among[message.meant])
    words = np.array([message.by_words.get(name, 0.0) for name in message.symptoms])
    both = 5.0 * sums + np.minimum(words, 6.0)
    letter = message.of_letter
    none, vague, unrelated = message.topics
    return {
        "sentences": sums,
        "other sentences": _beside(sums),
        "likest": likest,
        "other likest": _beside(likest),
        "likest of all": _most(message.told[message.meant]),
        "first": message.among[0],
        "words": words,
        "other words": _beside(words),
        "both": both,
        "lead": both - _beside(both),
        "letter": letter[:-2],
        "letter likest": np.full(count, letter[:-2].max(initial=np.log(_NONE))),
        "letter vague": np.full(count, letter[-2]),
        "letter unrelated": np.full(count, letter[-1]),
        "none": np.full(count, none),
        "vague": np.full(count, vague),
        "unrelated": np.full(count, unrelated),
        "findings": np.full(count, message.findings),
        "flagged": np.full(count, float(message.flagged)),
        **{
            f"by phrases {kind}": np.full(count, float(message.by_phrases == kind))
            for kind in KINDS
        },
        "of sentences": np.full(count, float(max(1, message.whole.sum()))),
    }


@dataclass(frozen=True, slots=True)
class Candidates:
    """Answers that a message may tell: their places in ``kin.answers``, and the likest stretch.

    Every sign has one number for each of them.
    """

    answers: Whole
    stretches: Whole
    signs: Mapping[str, Floats]


def answer_signs(
    message: Message,
    phrased: Iterable[str],
    dangerous: Iterable[str],
    kinds: Sequence[float],
    complaints: Floats,
) -> Candidates:
    """What tells each answer that the message may state.

    ``phrased`` are the answers that phrases tell, ``dangerous`` those that mean stop; ``kinds`` are
    the probabilities of ``KINDS``, ``complaints`` those of the symptoms.
    """
    like, kin = message.like, message.like.kin
    stretches = like.stretches
    counts = np.array([not one.in_subject and one.stance != "other-car" for one in stretches])
    among = np.where(counts[:, None], like.among, 0.0)
    most = _most(among)
    by_phrase = kin.are(phrased)
    found = np.flatnonzero((most >= LEAST_SHARE) | by_phrase) if counts.any() else np.zeros(0, int)
    own = among[:, found]
    row = own.argmax(axis=0) if len(found) else np.zeros(0, dtype=np.int64)
    place = np.arange(len(found))
    share = own[row, place]
    beside = own[row]
    beside[place, place] = 0.0
    same_check = kin.check[found][:, None] == kin.check[found]
    same_group = kin.group[found][:, None] == kin.group[found]
    ordered = np.sort(own, axis=0)
    alone = like.shares[row, kin.columns[found]]
    whole = np.array([one.whole for one in stretches], dtype=bool)
    words = np.log([max(_SHORT, sum(each.is_word for each in one.tokens)) for one in stretches])
    main = message.symptoms[int(complaints.argmax())] if len(complaints) else ""
    habit, usual = kin.habit(main if kinds[0] == max(kinds) else "")[:, found]
    meant = np.array([_STANCE_NUMBER.get(one.stance, -1) for one in stretches])[row]
    count = len(found)
    return Candidates(
        found,
        row,
        {
            "log share": _log(share),
            "share": share,
            "next in group": np.where(same_group, beside, 0.0).max(axis=1, initial=0.0),
            "next in check": np.where(same_check, beside, 0.0).max(axis=1, initial=0.0),
            "behind in check": np.where(same_check, most[found], 0.0).max(axis=1, initial=0.0)
            - share,
            "of all": alone,
            "log of all": _log(alone),
            "topics": like.topics[row].sum(axis=1),
            "log of sentence": _log(_most(own[whole])),
            "log of clause": _log(_most(own[~whole])),
            "second": ordered[-2] if len(ordered) > 1 else np.zeros(count),
            "words": words[row],
            "sentence": whole[row].astype(float),
            **{
                stance: (meant == number).astype(float) for stance, number in _STANCE_NUMBER.items()
            },
            **_near(like, row),
            **{
                name: np.full(count, number)
                for name, number in zip(("none", "vague", "unrelated"), message.topics, strict=True)
            },
            "complaints": np.full(count, message.sums.sum()),
            "phrased": by_phrase[found].astype(float),
            **{
                f"of {name}": (kin.check[found] == kin.number_of_check(name)).astype(float)
                for name in _CHECKS
            },
            "dangerous": kin.are(dangerous)[found].astype(float),
            "habit": habit,
            "usual": usual,
            "habit over usual": habit - usual,
            "stretches": np.full(count, float(len(stretches))),
            **{
                f"kind {kind}": np.full(count, number)
                for kind, number in zip(KINDS, kinds, strict=True)
            },
            "surest complaint": np.full(count, complaints.max(initial=0.0)),
        },
    )


def _log(values: Floats) -> Floats:
    found: Floats = np.log(np.maximum(values, _TINY))
    return found


def _near(like: Resemblance, row: Whole) -> dict[str, Floats]:
    """How much history the sentence of a stretch tells, those beside it, and any."""
    told = like.among @ like.kin.history
    # One sentence more at either end, in which nothing is told.
    sentence = np.array([one.sentence for one in like.stretches]) + 1
    by_sentence = np.zeros((int(sentence.max()) + 2, told.shape[1]))
    np.maximum.at(by_sentence, sentence, told)
    own = sentence[row]
    here = by_sentence[own]
    beside = np.maximum(by_sentence[own - 1], by_sentence[own + 1])
    anywhere = np.tile(_most(told), (len(row), 1))
    return {
        f"{name} {where}": values[:, number]
        for number, name in enumerate(HISTORY)
        for where, values in (("here", here), ("beside", beside), ("anywhere", anywhere))
    }
