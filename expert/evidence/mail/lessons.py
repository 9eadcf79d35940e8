"""What whole letters teach: sentences of known meaning, letters by their complaint, and habits."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import log
from typing import Final

from expert.loading.letters import Letter

# A mark in a number or an address ends no sentence.
_SENTENCE: Final = re.compile(r"(?:[^.!?\n]|[.!?](?=\S))+[.!?]*")
_LEAST_CHARACTERS: Final = 3
# How many letters say as much as what is usual in all letters.
_USUAL: Final = 20.0
_NEVER: Final = 0.5


def sentences_in(text: str) -> Iterator[tuple[int, int]]:
    """The first character of each sentence or line, and the one after its last."""
    for match in _SENTENCE.finditer(text):
        own = match.group()
        start = match.start() + len(own) - len(own.lstrip())
        end = match.end() - len(own) + len(own.rstrip())
        if end - start >= _LEAST_CHARACTERS:
            yield start, end


def lessons_of(letter: Letter) -> list[tuple[str, str]]:
    """Labels, each with the words that state it.

    The sentences of a complaint that hold nothing of any quote state nothing; those of other
    letters are vague, or of other mail.
    """
    text = letter.text
    found = [(label, text[start:end]) for label, start, end in letter.means]
    rest = "none" if letter.topic == "complaint" else letter.topic
    found += [
        (rest, text[start:end])
        for start, end in sentences_in(text)
        if all(end <= begin or until <= start for _, begin, until in letter.means)
    ]
    return list(dict.fromkeys(found))


def with_lessons(
    heard: Mapping[str, Iterable[str]], letters: Iterable[Letter]
) -> dict[str, list[str]]:
    """Sentences by label: those that were heard, and those of letters."""
    found = {label: list(sentences) for label, sentences in heard.items()}
    for letter in letters:
        for label, sentence in lessons_of(letter):
            found.setdefault(label, []).append(sentence)
    return found


def by_main(letters: Iterable[Letter]) -> dict[str, list[str]]:
    """Whole letters by their main complaint, or by the topic of those that have none."""
    found: dict[str, list[str]] = {}
    for letter in letters:
        found.setdefault(main_of(letter), []).append(letter.text)
    return found


def main_of(letter: Letter) -> str:
    """The main complaint of a letter, or its topic where it has none."""
    return next(iter(letter.complaints()), letter.topic)


@dataclass(frozen=True, slots=True)
class Habits:
    """How often letters state an answer, by their main complaint."""

    letters: Mapping[str, int]
    answers: Mapping[tuple[str, str], int]
    in_all: Mapping[str, int]

    @classmethod
    def of(cls, letters: Iterable[Letter]) -> Habits:
        """Counted over some letters."""
        mains: Counter[str] = Counter()
        answers: Counter[tuple[str, str]] = Counter()
        in_all: Counter[str] = Counter()
        for letter in letters:
            main = main_of(letter) if letter.topic == "complaint" else ""
            mains[main] += 1
            for answer in letter.answers():
                answers[main, answer] += 1
                in_all[answer] += 1
        return cls(mains, answers, in_all)

    def likely(self, main: str, answer: str) -> tuple[float, float]:
        """The logarithms of the shares of letters that state an answer.

        Of those with this main complaint, empty for none, drawn towards what is usual; and of all.
        """
        total = sum(self.letters.values())
        usual = (self.in_all.get(answer, 0) + _NEVER) / (total + 2 * _USUAL)
        own = self.answers.get((main, answer), 0) + _USUAL * usual
        return log(own / (self.letters.get(main, 0) + _USUAL)), log(usual)
