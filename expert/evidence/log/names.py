"""Names of columns taken apart, and how well they fit those of the knowledge.

A name becomes words: capitals, accents, signs between words and their order do not matter. Words
that are left over beside a known name say something or nothing, and that decides how sure it is.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from expert.model import LogChannel
from expert.text import name_words

Words = tuple[str, ...]

# Words of several languages that say of no reading which it is.
_FILLING = (
    "a al at da das de del della der di die do du el en et for il in la le les of the und y l d "
    "act actual ist istwert iw wert value val valeur valor mesure mesuree medido medida misurato "
    "misurata reel reelle real actuel actuelle aktuell current currently measured measurement "
    "sensor capteur sensore signal channel kanal ch raw filtered filter filt smoothed smooth "
    "log logged data ecu ecm dme can obd xcp ccp bus external ext analog input "
    "bank cyl no nr nb reading avg average mean"
)
FILLERS: Final = frozenset(_FILLING.split())
# What is left of a fit for each word beside the name.
_FILLER: Final = 0.985
_UNKNOWN: Final = 0.6
_TURNING: Final = 0.1
_SHORTEST_PIECE: Final = 3
_MOST_WORDS: Final = 24


@dataclass(frozen=True, slots=True)
class Fit:
    """How well a name fits a channel: 0 to 1, and the name of the knowledge that it fits.

    ``rank`` is the place of that name in the list of the channel. ``exact`` says that nothing was
    left over.
    """

    channel: str
    share: float
    name: str
    rank: int
    exact: bool


class Lexicon:
    """The names of all channels, ready to be compared with the columns of a file."""

    def __init__(self, channels: Mapping[str, LogChannel]) -> None:
        self._beside: dict[str, frozenset[str]] = {}
        self._names: list[tuple[str, int, str, frozenset[str]]] = []
        self._by_word: dict[str, list[int]] = {}
        self._joined: dict[str, Words] = {}
        self._alone: dict[str, set[str]] = {}
        self._vocabulary: set[str] = set(FILLERS)
        for id_, channel in channels.items():
            beside = [word for text in channel.beside for word in _known_letters(text)]
            self._beside[id_] = frozenset(beside)
            for rank, name in enumerate(channel.names):
                self._add(id_, rank, name)

    def _add(self, id_: str, rank: int, name: str) -> None:
        words = _known_letters(name)
        if not words:
            return
        number = len(self._names)
        self._names.append((id_, rank, name, frozenset(words)))
        for word in set(words):
            self._by_word.setdefault(word, []).append(number)
        self._vocabulary.update(words)
        self._joined.setdefault("".join(words), words)
        if len(words) == 1:
            self._alone.setdefault(words[0], set()).add(id_)

    def fits(self, name: str, common: Collection[str] = ()) -> list[Fit]:
        """The channels whose names are in a name, the best first.

        ``common`` are words that say nothing in this file, since nearly every column has them.
        """
        words = self._known_words(name)
        best: dict[str, Fit] = {}
        here = frozenset(words)
        for number in sorted({n for word in here for n in self._by_word.get(word, ())}):
            id_, _, _, needed = self._names[number]
            if not needed <= here:
                continue
            fit = self._fit(number, here - needed, frozenset(common))
            if fit is not None and (id_ not in best or fit.share > best[id_].share):
                best[id_] = fit
        return sorted(best.values(), key=lambda fit: (-fit.share, fit.channel))

    def _fit(self, number: int, over: frozenset[str], common: frozenset[str]) -> Fit | None:
        id_, rank, known, needed = self._names[number]
        # A letter alone is a name only where nothing stands beside it.
        if over and needed == {min(needed)} and len(min(needed)) == 1:
            return None
        share = 1.0
        for word in sorted(over):
            if word in self._beside[id_] or word in FILLERS or word in common:
                share *= _FILLER
            elif self._alone.get(word, set()) - {id_}:
                share *= _TURNING
            else:
                share *= _UNKNOWN
        return Fit(id_, share, known, rank, not over)

    def _known_words(self, name: str) -> Words:
        """The words of a name, those written as one word taken apart where they are known."""
        words = letters_of(name)
        whole = self._joined.get("".join(words))
        if whole is not None:
            return whole
        return tuple(
            piece
            for word in words
            for piece in ((word,) if word in self._vocabulary else self._pieces(word))
        )

    def _pieces(self, word: str) -> Words:
        """Known words that a word is made of, in as few pieces as can be; itself if of none."""
        best: list[Words | None] = [()] + [None] * len(word)
        for end in range(_SHORTEST_PIECE, len(word) + 1):
            for start in range(end - _SHORTEST_PIECE, -1, -1):
                before = best[start]
                if before is None or word[start:end] not in self._vocabulary:
                    continue
                found = best[end]
                if found is None or len(before) + 1 < len(found):
                    best[end] = (*before, word[start:end])
        return best[-1] or (word,)


def letters_of(name: str) -> Words:
    """The words of a name without its numbers."""
    return tuple(word for word in name_words(name)[:_MOST_WORDS] if not word.isdecimal())


def common_words(names: Sequence[str]) -> frozenset[str]:
    """Words that most columns of a file have, such as the name of the device."""
    if len(names) < 4:
        return frozenset()
    counts: dict[str, int] = {}
    for name in names:
        for word in set(name_words(name)):
            counts[word] = counts.get(word, 0) + 1
    return frozenset(word for word, count in counts.items() if count > 0.6 * len(names))


@lru_cache(maxsize=8192)
def _known_letters(name: str) -> Words:
    """The same for a name of the knowledge, which is taken apart for every file again."""
    return letters_of(name)
