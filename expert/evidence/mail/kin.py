"""All that customers were heard to say, ready to be compared with what one of them writes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from expert.evidence.mail.lessons import Habits, by_main, sentences_in, with_lessons
from expert.evidence.mail.likeness import Likeness, learned_from, terms_in, terms_of
from expert.evidence.mail.words import Token
from expert.loading.heard import TOPICS
from expert.loading.letters import Letter

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

# These are told in one breath with something else, so each is judged by itself.
ALONE: Final = ("what-changed", "worked-on", "when-worst")

# What was done, and when it is worst, is told of the sentence before or after as well.
HISTORY: Final = ("work", "no work", "part", "worst")
_TELLS: Final = {
    "work": ("what-changed=just-fitted", "what-changed=earlier"),
    "no work": ("what-changed=nothing",),
    "part": ("worked-on=",),
    "worst": ("when-worst=",),
}


class Kin:
    """The sentences and letters that were heard, by label, and which labels are weighed together.

    ``answers`` are the labels of answers, ``columns`` their places among all labels; ``check`` and
    ``group`` say by number which of them belong together, ``member`` by a row with a 1 in the
    column of the group; ``history`` which of them tell it, one column for each of ``HISTORY``.
    ``symptoms`` and ``topics`` are the places of the others by name.
    """

    def __init__(self, likeness: Likeness, letters: Likeness, habits: Habits) -> None:
        self.likeness, self.letters, self.habits = likeness, letters, habits
        place = {label: number for number, label in enumerate(likeness.labels)}
        self.symptoms = {
            name: number for name, number in place.items() if "=" not in name and name not in TOPICS
        }
        self.topics: dict[str, int] = {name: place[name] for name in TOPICS if name in place}
        self.answers = tuple(label for label in place if "=" in label)
        self._number = {label: number for number, label in enumerate(self.answers)}
        self._habit: dict[str, Floats] = {}
        self.columns: Whole = np.array([place[label] for label in self.answers], dtype=np.int64)
        checks = [label.partition("=")[0] for label in self.answers]
        self.check = _numbered(checks)
        self._check_number: dict[str, int] = dict(zip(checks, self.check.tolist(), strict=True))
        self.group = _numbered([check if check in ALONE else "" for check in checks])
        self.member = (self.group[:, None] == np.unique(self.group)).astype(float)
        self.history = np.array(
            [[label.startswith(_TELLS[name]) for name in HISTORY] for label in self.answers],
            dtype=float,
        ).reshape(-1, len(HISTORY))
        self._places: dict[tuple[str, tuple[str, ...]], Whole] = {}

    @classmethod
    def of(cls, heard: Mapping[str, Sequence[str]], letters: Sequence[Letter] = ()) -> Kin:
        """Learned from sentences by label, and from letters."""
        sentences = with_lessons(heard, letters).items()
        mains = by_main(letters).items()
        return cls(
            _learned({label: [terms_in(one) for one in said] for label, said in sentences}),
            _learned({main: [_terms_of_letter(one) for one in texts] for main, texts in mains}),
            Habits.of(letters),
        )

    def knows_topics(self) -> bool:
        """Was every topic heard of? Only then can be told what is none."""
        return set(TOPICS) <= self.topics.keys()

    def places(self, check: str, *answers: str) -> Whole:
        """Where the answers of a check are among all labels; all of them, or those named."""
        key = (check, answers)
        if key not in self._places:
            self._places[key] = self._found(check, answers)
        return self._places[key]

    def are(self, labels: Iterable[str]) -> Flags:
        """Which answers are among some labels."""
        found = np.zeros(len(self.answers), dtype=bool)
        found[[self._number[label] for label in labels if label in self._number]] = True
        return found

    def number_of_check(self, check: str) -> int:
        """The number of a check in ``check``; -1 for one of which nothing was heard."""
        return self._check_number.get(check, -1)

    def habit(self, main: str) -> Floats:
        """How likely each answer is in letters with a main complaint, and in all: two rows."""
        if main not in self._habit:
            likely = [self.habits.likely(main, answer) for answer in self.answers]
            self._habit[main] = np.array(likely, dtype=float).reshape(-1, 2).T
        return self._habit[main]

    def _found(self, check: str, answers: Sequence[str]) -> Whole:
        wanted = {f"{check}={answer}" for answer in answers}
        return np.array(
            [
                place
                for label, place in zip(self.answers, self.columns, strict=True)
                if label in wanted or (not wanted and label.startswith(f"{check}="))
            ],
            dtype=np.int64,
        )

    def answer_to(self, check: str, tokens: Sequence[Token]) -> tuple[str, float] | None:
        """The answer of a check that some words are likest, and its share among its answers.

        Among them and the topics; for words that are known to answer the check.
        """
        places = self.places(check)
        if not len(places) or not tokens:
            return None
        shares = self.likeness.shares([terms_of(tokens)])[0]
        likest = int(places[shares[places].argmax()])
        among = shares[places].sum() + shares[list(self.topics.values())].sum()
        return self.likeness.labels[likest].partition("=")[2], float(shares[likest] / among)


def _learned(heard: Mapping[str, Sequence[Sequence[str]]]) -> Likeness:
    return Likeness(learned_from(heard))


def _terms_of_letter(text: str) -> list[str]:
    return [term for start, end in sentences_in(text) for term in terms_in(text[start:end])]


def _numbered(names: Sequence[str]) -> Whole:
    number = {name: place for place, name in enumerate(dict.fromkeys(names))}
    return np.array([number[name] for name in names], dtype=np.int64)
