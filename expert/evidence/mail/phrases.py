"""Phrases of the knowledge found in sentences.

A phrase is words in order. Endings, slips of the finger and words that say nothing are passed
over, ``a/b`` is either word, ``N`` a number with or without unit, ``...`` up to seven more words.
Words with ``+`` between them may stand in any order in one clause, and count as one word.
Finding takes time linear in the text: at every word, each phrase that begins so is followed once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final, Generic, TypeVar

from expert.evidence.mail.sentences import Item, Sentence
from expert.evidence.mail.words import FILLERS, NUMBER, Vocabulary, stem, tokens_of
from expert.units import KPA_PER

GAP: Final = "..."
ANY_ORDER: Final = "+"
LONGEST_GAP: Final = 7
_OF_COMPLAINTS: Final = frozenset({None, "rpm", "thousand", "percent", "ordinal", *KPA_PER})

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Step:
    """One word of a phrase: the stems that it may be, and how many words may come before it."""

    stems: frozenset[str]
    gap: int


@dataclass(frozen=True, slots=True)
class Match(Generic[T]):
    """A phrase found: what it stands for, and its first and last meaning word in the sentence."""

    meaning: T
    first: int
    last: int
    words: int


def steps_of(phrase: str) -> list[tuple[Step, ...]]:
    """A phrase as steps, in every way that it can be said.

    Words that say nothing are left out, and a step is left out where one of its words says nothing.
    """
    ways: list[tuple[Step, ...]] = [()]
    gap = 0
    for part in phrase.split():
        if part == GAP:
            gap = LONGEST_GAP
            continue
        # P0299 is a word and a number, each a step; a/b is one step.
        whole = "/" in part or part == NUMBER
        for piece in [part] if whole else [token.text for token in tokens_of(part)]:
            choices = [_stem_of(choice) for choice in piece.split("/")]
            stems = frozenset(choice for choice in choices if choice)
            without = ways if "" in choices else []
            if stems:
                ways = [(*way, Step(stems, gap)) for way in ways]
                ways = [*ways, *without]
                gap = 0
    return [way for way in ways if way]


def _stem_of(choice: str) -> str:
    """The stem of a word of a phrase; nothing for a word that says nothing."""
    if choice == NUMBER:
        return NUMBER
    token = next(iter(tokens_of(choice)), None)
    if token is None:
        return ""
    if token.is_number:
        # A number in a phrase is that number: 3 port, 0 duty.
        return f"N{float(token.text):g}"
    return "" if token.text in FILLERS else stem(token.text)


class Phrases(Generic[T]):
    """All phrases of one vocabulary, indexed by the words they begin with."""

    def __init__(
        self,
        meanings: Iterable[tuple[str, T]],
        complaint: Callable[[T], bool] = lambda _: True,
        crossing: Callable[[T], bool] = lambda _: True,
    ) -> None:
        """Phrases and what they stand for.

        ``complaint`` says which are complaints: their numbers are pressures or engine speeds, not
        years or miles. ``crossing`` says whose gaps may leave a clause.
        """
        self._complaint = complaint
        self._crossing = crossing
        self._by_first: dict[str, list[tuple[tuple[Step, ...], T]]] = {}
        self._loose: list[tuple[tuple[Step, ...], T]] = []
        stems: set[str] = set()
        for phrase, meaning in meanings:
            if ANY_ORDER in phrase:
                loose = next(iter(steps_of(phrase.replace(ANY_ORDER, " "))), ())
                if not loose:
                    continue
                self._loose.append((loose, meaning))
                stems.update(*(step.stems for step in loose))
                continue
            for steps in steps_of(phrase):
                for first in steps[0].stems:
                    self._by_first.setdefault(first, []).append((steps, meaning))
                for step in steps:
                    stems |= step.stems
        self.vocabulary = Vocabulary(stems)

    def found(self, sentence: Sentence) -> list[Match[T]]:
        """Every match in a sentence."""
        matches: list[Match[T]] = []
        items = sentence.items
        for position, item in enumerate(items):
            for key in _keys(item):
                for steps, meaning in self._by_first.get(key, ()):
                    last = self._followed(steps, items, position, meaning)
                    if last is not None:
                        matches.append(Match(meaning, position, last, len(steps)))
        return matches + self._together(items)

    def _together(self, items: tuple[Item, ...]) -> list[Match[T]]:
        """Matches of words in any order: the first of each, in one clause."""
        clauses: dict[int, dict[str, int]] = {}
        for position, item in enumerate(items):
            clauses.setdefault(item.clause, {}).setdefault(item.stem, position)
        found: list[Match[T]] = []
        for places in clauses.values():
            for steps, meaning in self._loose:
                at = [_first(step.stems, places) for step in steps]
                if None not in at:
                    sure = [place for place in at if place is not None]
                    found.append(Match(meaning, min(sure), max(sure), 1))
        return found

    def _followed(
        self, steps: tuple[Step, ...], items: tuple[Item, ...], position: int, meaning: T
    ) -> int | None:
        """The last word of a phrase that begins here, by the shortest way, or None."""
        complaint, crossing = self._complaint(meaning), self._crossing(meaning)
        if not _fits(steps[0], items[position], complaint):
            return None
        ends = [position]
        for step in steps[1:]:
            reached: list[int] = []
            for end in ends:
                for candidate in range(end + 1, min(end + 2 + step.gap, len(items))):
                    item = items[candidate]
                    # Without a gap a phrase stays within its clause.
                    if not (step.gap and crossing) and item.clause != items[end].clause:
                        break
                    if _fits(step, item, complaint) and candidate not in reached:
                        reached.append(candidate)
                        break
            if not reached:
                return None
            ends = reached
        return min(ends)


def _first(stems: frozenset[str], places: dict[str, int]) -> int | None:
    return min((places[one] for one in stems if one in places), default=None)


def _keys(item: Item) -> tuple[str, ...]:
    if item.stem == NUMBER:
        return (NUMBER, f"N{item.value:g}")
    return (item.stem,)


def _fits(step: Step, item: Item, complaint: bool) -> bool:
    if item.stem != NUMBER:
        return item.stem in step.stems
    if f"N{item.value:g}" in step.stems:
        return True
    return NUMBER in step.stems and (not complaint or item.unit in _OF_COMPLAINTS)
