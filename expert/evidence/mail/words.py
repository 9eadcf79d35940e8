"""Text to words with their places, and each word to a form that its spellings share.

All of it is one pass over the text: nothing here takes more than linear time.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

_WORD: Final = re.compile(
    r"\d+(?:[.,]\d+)?|[.,]\d+|[^\W\d_]+(?:['\N{RIGHT SINGLE QUOTATION MARK}`][^\W\d_]+)*|[^\w\s]|\n"
)
# More words than this are no message of a customer; the rest is not read.
MOST_WORDS: Final = 6000


def wordset(text: str) -> frozenset[str]:
    """The words of a text, as a set to look up."""
    return frozenset(text.split())


NOT: Final = "not"
NUMBER: Final = "N"

_NEGATIONS: Final = wordset(
    "not never wont dont doesnt didnt cant cannot couldnt isnt arent wasnt werent hasnt "
    "havent hadnt "
    "wouldnt aint refuses refused refusing nor"
)
# Words that say nothing about the car, passed over between the words of a phrase.
FILLERS: Final = wordset(
    "a an the my its it your our this that these those s really very actually quite so even "
    "still pretty basically literally kinda kind of bit rather also then to any all much "
    "do does did will would is are was were be been am im ive has have had there well "
    "lol haha eh completely totally absolutely definitely properly"
)
_IRREGULAR: Final = {
    "built": "build",
    "held": "hold",
    "went": "go",
    "goes": "go",
    "going": "go",
    "blew": "blow",
    "blown": "blow",
    "fell": "fall",
    "rose": "rise",
    "risen": "rise",
    "swung": "swing",
    "came": "come",
    "made": "make",
    "got": "get",
    "found": "find",
    "lost": "lose",
    "left": "leave",
    "felt": "feel",
    "heard": "hear",
    "saw": "see",
    "seen": "see",
    "broke": "break",
    "broken": "break",
    "tore": "tear",
    "torn": "tear",
    "cause": "because",
    "shot": "shoot",
}
# Real words one slip away from words of the trade; they mean themselves.
_STAYS: Final = wordset(
    "boast roost boots string sprint spoon soil gravel garage house horse noise nose place space "
    "prize spruce flutes crack cream creek hunts gears bleep sleep steep storing swings wrings "
    "springs strings sticks stock stocks truck tracks whole while white these there their where "
    "boot shit closed hosts clock clocks clicks slick power tower lower flower over every "
    "never fever light "
    "right might night sight chimes limes light coast toast boost"
)
_VOWELS: Final = frozenset("aeiouy")
_SHORTEST_MENDED: Final = 5
_TWO_SLIPS_FROM: Final = 11
# A shorter word with another letter in it is mostly another word: hints, hunts.
_OTHER_LETTER_FROM: Final = 6


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number or mark of a text, and the characters that it stands on."""

    text: str
    start: int
    end: int

    @property
    def is_number(self) -> bool:
        """Is it a number?"""
        return self.text[-1].isdecimal()

    @property
    def is_word(self) -> bool:
        """Is it a word?"""
        return self.text[0].isalpha()


def tokens_of(text: str) -> list[Token]:
    """The words, numbers, marks and line ends of a text; words in small letters, no apostrophes."""
    found: list[Token] = []
    for match in _WORD.finditer(text):
        word = match.group()
        if word[0].isalpha():
            word = _plain(word)
        found.append(Token(word, match.start(), match.end()))
        if len(found) >= MOST_WORDS:
            break
    return found


def _plain(word: str) -> str:
    folded = word.casefold()
    if folded.isalpha():
        return folded
    return "".join(letter for letter in folded if letter.isalpha()) or folded


def is_negation(word: str) -> bool:
    """Does the word deny what follows?"""
    return word in _NEGATIONS


def stem(word: str) -> str:
    """The part of a plain word that its endings share: creeps, creeping and creep are one."""
    if word in _NEGATIONS:
        return NOT
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4:
        return word
    for ending, least in (("ing", 6), ("ies", 5), ("ed", 5), ("es", 5), ("s", 4)):
        rest = word[: -len(ending)]
        # A spring is no form of spr.
        if len(word) >= least and word.endswith(ending) and _VOWELS.intersection(rest):
            if not word.endswith("ss"):
                word = rest + ("y" if ending == "ies" else "")
            break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "lsoe":
        word = word[:-1]
    if len(word) > 3 and word[-1] == "e":
        word = word[:-1]
    return word


class Vocabulary:
    """The stems that phrases use; finds them again behind endings and slips of the finger.

    Slips are found by deleting letters on both sides, so that a look-up takes a time that only
    the length of the word decides.
    """

    def __init__(self, stems: Iterable[str]) -> None:
        self.stems = frozenset(stems)
        self._shortened: dict[str, str] = {}
        for known in sorted(self.stems, key=lambda one: (-len(one), one)):
            if len(known) >= _SHORTEST_MENDED - 1 and known.isalpha():
                depth = 2 if len(known) >= _TWO_SLIPS_FROM - 1 else 1
                for short in _deletions(known, depth):
                    self._shortened[short] = known
        self._remembered: dict[str, str] = {}

    def stem(self, word: str) -> str:
        """The stem of a plain word, mended where it is one slip away from a known one."""
        known = self._remembered.get(word)
        if known is None:
            known = self._mended(word)
            if len(self._remembered) < 50_000:
                self._remembered[word] = known
        return known

    def _mended(self, word: str) -> str:
        own = stem(word)
        if own in self.stems or own == NOT:
            return own
        if word.endswith("in") and stem(word + "g") in self.stems:
            return stem(word + "g")
        if len(word) < _SHORTEST_MENDED - 1 or len(word) > 24 or word in _STAYS or own in _STAYS:
            return own
        depth = 2 if len(own) >= _TWO_SLIPS_FROM - 1 else 1
        for short in (own, *sorted(_deletions(own, depth), key=lambda one: -len(one))):
            known = self._shortened.get(short)
            if known is None or known[0] != own[0] or len(known) < _SHORTEST_MENDED - 1:
                continue
            # A short word is mended only to a longer one, by the letter that it lacks.
            if len(own) < _SHORTEST_MENDED - 1 and len(known) <= len(own):
                continue
            if len(word) < _SHORTEST_MENDED and len(known) <= len(own):
                continue
            if len(own) == len(known) < _OTHER_LETTER_FROM and sorted(own) != sorted(known):
                continue
            if _near(own, known, depth):
                return known
        return own


def _deletions(word: str, depth: int) -> set[str]:
    found = {word}
    layer = {word}
    for _ in range(depth):
        layer = {one[:k] + one[k + 1 :] for one in layer for k in range(len(one))}
        found |= layer
    return found


def _near(one: str, other: str, most: int) -> bool:
    """Are two words at most so many slips apart? A slip also changes two neighbours over.

    Optimal string alignment distance.
    """
    if abs(len(one) - len(other)) > most:
        return False
    before: list[int] = []
    above = list(range(len(other) + 1))
    for i, letter in enumerate(one, start=1):
        row = [i]
        for j, wanted in enumerate(other, start=1):
            best = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (letter != wanted))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == wanted:
                best = min(best, before[j - 2] + 1)
            row.append(best)
        before, above = above, row
    return above[-1] <= most
