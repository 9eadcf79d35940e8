"""Phrases of the knowledge found in sentences.

A phrase is words in order. Endings, slips of the finger and words that say nothing are passed
over, ``a/b`` is either word, ``N`` a number with or without unit, ``...`` up to seven more words.
Words with ``+`` between them may stand in any order in one clause, and count as one word.
Finding takes time linear in the text: at every word, each phrase that begins so is followed once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Final, Generic, TypeVar

from expert.evidence.mail.sentences import Item, Sentence
from expert.evidence.mail.synonyms import likes_of
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


Steps = tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Match(Generic[T]):
    """A phrase found: what it stands for, and its meaning words in the sentence.

    ``words`` says how much it outranks others on the same words, ``weight`` how much it says.
    """

    meaning: T
    places: tuple[int, ...]
    words: int
    weight: int

    @property
    def first(self) -> int:
        """Its first meaning word."""
        return self.places[0]

    @property
    def last(self) -> int:
        """Its last meaning word."""
        return self.places[-1]


@dataclass(frozen=True, slots=True)
class _Loose(Generic[T]):
    """Words in any order: for each of them the ways to say it."""

    meaning: T
    elements: tuple[tuple[Steps, ...], ...]


def steps_of(phrase: str) -> list[Steps]:
    """A phrase as steps, in every way that it can be said.

    Words that say nothing are left out, and a step is left out where one of its words says nothing.
    """
    ways: list[Steps] = [()]
    gap = 0
    alone = sum(any(map(_stem_of, part.split("/"))) for part in phrase.split()) == 1
    for part in phrase.split():
        if part == GAP:
            gap = LONGEST_GAP
            continue
        # P0299 is a word and a number, each a step; a/b is one step.
        whole = "/" in part or part == NUMBER
        for piece in [part] if whole else [token.text for token in tokens_of(part)]:
            choices = [_stem_of(choice) for choice in piece.split("/")]
            stems = [choice for choice in choices if choice]
            without = ways if "" in choices else []
            if stems:
                ways = [(*way, *more) for way in ways for more in _said_as(stems, gap, alone)]
                ways = [*ways, *without]
                gap = 0
    longest = max(map(len, ways))
    # A word that is left where all others may be left out says too little.
    return [way for way in ways if len(way) > 1 or len(way) == longest == 1]


def _said_as(stems: Iterable[str], gap: int, alone: bool) -> list[Steps]:
    """The ways to say any of some words; a phrase of one word means itself only."""
    if alone:
        return [(Step(frozenset(stems), gap),)]
    likes = {like: None for one in stems for like in likes_of(one)}
    single = frozenset(like[0] for like in likes if len(like) == 1)
    return [
        (Step(single, gap),),
        *(
            (Step(frozenset(like[:1]), gap), *(Step(frozenset({one}), 0) for one in like[1:]))
            for like in likes
            if len(like) > 1 and like[0] not in single
        ),
    ]


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
        # By the first word and the second, those that follow at once and those after a gap.
        self._alone: dict[str, list[tuple[Steps, T]]] = {}
        self._next: dict[str, dict[str, list[tuple[Steps, T]]]] = {}
        self._later: dict[str, dict[str, list[tuple[Steps, T]]]] = {}
        loose: list[_Loose[T]] = []
        stems: set[str] = set()
        for phrase, meaning in meanings:
            if ANY_ORDER in phrase:
                elements = tuple(
                    tuple(_said_as(word, 0, alone=False)) for word in _any_order(phrase)
                )
                if elements:
                    loose.append(_Loose(meaning, elements))
                for steps in chain.from_iterable(elements):
                    stems.update(*(step.stems for step in steps))
                continue
            for steps in steps_of(phrase):
                self._keep(steps, meaning)
                for step in steps:
                    stems |= step.stems
        self._loose = _by_rarest(loose)
        self.vocabulary = Vocabulary(stems)

    def _keep(self, steps: Steps, meaning: T) -> None:
        for first in steps[0].stems:
            if len(steps) == 1:
                self._alone.setdefault(first, []).append((steps, meaning))
                continue
            table = self._later if steps[1].gap else self._next
            seconds = table.setdefault(first, {})
            for second in steps[1].stems:
                seconds.setdefault(second, []).append((steps, meaning))

    def found(self, sentence: Sentence) -> list[Match[T]]:
        """Every match in a sentence."""
        matches: list[Match[T]] = []
        items = sentence.items
        keys = [_keys(item) for item in items]
        for position in range(len(items)):
            for key in keys[position]:
                begun = [(steps, meaning, position) for steps, meaning in self._alone.get(key, ())]
                seconds = self._next.get(key)
                if seconds and position + 1 < len(items):
                    begun += _begun(seconds, keys, position + 1, position + 2)
                seconds = self._later.get(key)
                if seconds:
                    begun += _begun(seconds, keys, position + 1, position + 2 + LONGEST_GAP)
                for steps, meaning, second in begun:
                    places = self._followed(steps, items, position, meaning, second)
                    if places is not None:
                        matches.append(Match(meaning, places, len(steps), len(steps)))
        return matches + self._together(items)

    def _together(self, items: tuple[Item, ...]) -> list[Match[T]]:
        """Matches of words in any order, in one clause."""
        clauses: dict[int, list[int]] = {}
        for position, item in enumerate(items):
            clauses.setdefault(item.clause, []).append(position)
        found: list[Match[T]] = []
        for positions in clauses.values():
            at: dict[str, list[int]] = {}
            for position in positions:
                for key in _keys(items[position]):
                    at.setdefault(key, []).append(position)
            tried: set[int] = set()
            for key in at:
                for loose in self._loose.get(key, ()):
                    if id(loose) not in tried:
                        tried.add(id(loose))
                        found += self._match_of(loose, items, at)
        return found

    def _match_of(
        self, loose: _Loose[T], items: tuple[Item, ...], at: dict[str, list[int]]
    ) -> list[Match[T]]:
        places: set[int] = set()
        for ways in loose.elements:
            taken = self._element(ways, items, at, loose.meaning)
            if taken is None:
                return []
            places.update(taken)
        count = len(loose.elements)
        return [Match(loose.meaning, tuple(sorted(places)), 1, count)]

    def _element(
        self,
        ways: tuple[Steps, ...],
        items: tuple[Item, ...],
        at: dict[str, list[int]],
        meaning: T,
    ) -> tuple[int, ...] | None:
        """Where one of the words stands first in a clause."""
        found: tuple[int, ...] | None = None
        for steps in ways:
            for stem_ in steps[0].stems:
                for position in at.get(stem_, ()):
                    if found is not None and position >= found[0]:
                        break
                    found = self._followed(steps, items, position, meaning) or found
        return found

    def _followed(
        self, steps: Steps, items: tuple[Item, ...], position: int, meaning: T, second: int = 0
    ) -> tuple[int, ...] | None:
        """The words of a phrase that begins here, by the shortest way, or None.

        Nothing stands before ``second`` that could be its second word.
        """
        complaint = self._complaint(meaning)
        if not _fits(steps[0], items[position], complaint):
            return None
        places = [position]
        for step in steps[1:]:
            end = places[-1]
            crossing = step.gap and self._crossing(meaning)
            for candidate in range(max(end + 1, second), min(end + 2 + step.gap, len(items))):
                item = items[candidate]
                # Without a gap a phrase stays within its clause.
                if not crossing and item.clause != items[end].clause:
                    return None
                if _fits(step, item, complaint):
                    places.append(candidate)
                    break
            else:
                return None
        return tuple(places)


def _begun(
    seconds: dict[str, list[tuple[Steps, T]]],
    keys: Sequence[tuple[str, ...]],
    start: int,
    end: int,
) -> list[tuple[Steps, T, int]]:
    """Phrases with the place from which on their second word may stand, each once."""
    found: dict[int, tuple[Steps, T, int]] = {}
    for place in range(start, min(end, len(keys))):
        for key in keys[place]:
            for entry in seconds.get(key, ()):
                found.setdefault(id(entry), (*entry, place))
    return list(found.values())


def _any_order(phrase: str) -> list[list[str]]:
    """The words of a phrase in any order, each as the stems that it may be."""
    found = []
    for part in phrase.split(ANY_ORDER):
        stems = [one for one in map(_stem_of, part.strip().split("/")) if one]
        if stems:
            found.append(stems)
    return found


def _by_rarest(loose: Iterable[_Loose[T]]) -> dict[str, list[_Loose[T]]]:
    """Words in any order, found by the word of each that fewest others have."""
    every = list(loose)
    firsts = [
        [frozenset().union(*(steps[0].stems for steps in ways)) for ways in one.elements]
        for one in every
    ]
    common = Counter(stem_ for one in firsts for stems in one for stem_ in stems)
    found: dict[str, list[_Loose[T]]] = {}
    for one, elements in zip(every, firsts, strict=True):
        rarest = min(elements, key=lambda stems: sum(common[stem_] for stem_ in stems))
        for stem_ in rarest:
            found.setdefault(stem_, []).append(one)
    return found


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
