"""How a customer means what he writes: said of his car now, denied, past, asked, or told by others.

Only the words of the sentence itself decide. What is not certain to be said of the car now is no
fact; it is kept with its stance, so that it can be seen and corrected.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal

from expert.evidence.mail.sentences import Item, Sentence
from expert.evidence.mail.words import NOT, is_negation, wordset

Stance = Literal[
    "said",
    "denied",
    "past",
    "asked",
    "hearsay",
    "supposed",
    "other-car",
    "guessed",
    # The rest of the message speaks against it.
    "outweighed",
]

# Stances in which a complaint or a danger still counts: better asked once too often.
TAKEN: Final[frozenset[Stance]] = frozenset({"said", "guessed"})
# Stances in which what was done counts.
HISTORY: Final[frozenset[Stance]] = frozenset({"said", "past", "guessed"})
_DENIERS: Final = frozenset({"no", "without", "nothing", "none", "zero", "hardly", "neither", NOT})
# Those that deny what follows in the same run of words.
_WITHIN: Final = frozenset({"no", "without", NOT})
# How far a denial reaches, in meaning words.
REACH: Final = 3
# After these a denial denies nothing of the car: not only, no idea why, not sure why.
_HOLLOW: Final = wordset(
    "only just sure idea clue matter problem problems help luck difference wonder doubt"
    " know knowing understand joy avail change surprise"
)
_SAYERS: Final = wordset(
    "says said reckons reckon thinks thought told tells claims claimed suggests suggested suspects "
    "swears insists say"
)
_OTHERS: Final = wordset(
    "he she they mate mates friend garage mechanic guy bloke lad lads someone somebody people "
    "everyone seller dealer forum forums internet video workshop fella dad brother neighbour "
    "colleague tech technician previous"
)
_WORDS_OF_OTHERS: Final = frozenset({"apparently", "supposedly", "allegedly", "rumour"})
_ASKERS: Final = wordset(
    "is are was does do did can could should would will may might has have which what when where "
    "who how shall am"
)

Runs = Mapping[str, Sequence[list[str]]]


def _runs(*runs: tuple[str, ...]) -> Runs:
    """Runs of words by their first word."""
    found: dict[str, list[list[str]]] = {}
    for run in runs:
        found.setdefault(run[0], []).append(list(run))
    return found


_COMPLAINING: Final = _runs(
    ("why",),
    ("how", "come"),
    ("what", "causes"),
    ("what", "would", "cause"),
    ("what", "could", "cause"),
    ("what", "can", "cause"),
    ("what", "makes"),
    ("what", "is", "making"),
    ("whats", "making"),
    ("whats", "causing"),
    ("what", "is", "causing"),
    ("how", "do", "i"),
    ("how", "can", "i"),
    ("any", "idea"),
    ("any", "ideas"),
    ("what", "should", "i", "check"),
    ("what", "do", "i", "check"),
    ("can", "you", "help"),
    ("can", "you", "tell"),
    ("could", "you", "help"),
    ("can", "someone"),
    ("will", "it", "hurt"),
    ("will", "it", "damage"),
    ("will", "it", "harm"),
    ("will", "this", "hurt"),
    ("will", "this", "damage"),
    ("does", "it", "matter"),
    ("does", "it", "hurt"),
    ("is", "it", "bad"),
    ("can", "i", "drive"),
    ("can", "i", "still"),
    ("should", "i", "worry"),
    ("should", "i", "be"),
    ("should", "i", "stop"),
    ("do", "i", "need"),
    ("what", "do", "i"),
    ("what", "can", "i"),
    ("what", "is", "wrong"),
    ("whats", "wrong"),
    ("what", "could", "it"),
    ("what", "could", "this"),
    ("where", "do", "i"),
    ("where", "should", "i"),
    ("is", "it", "normal"),
    ("is", "it", "ok"),
    ("is", "it", "safe"),
    ("is", "that"),
    ("is", "this"),
    ("way", "to", "stop"),
    ("way", "to", "cure"),
    ("how", "to", "stop"),
    ("how", "to", "cure"),
)
_BEGINNINGS: Final = frozenset(
    (first, second)
    for first in ("is", "does", "can", "could", "should", "would", "will", "do", "are")
    for second in ("it", "i", "you", "they", "this", "that", "the", "these", "there", "we")
)
_SUPPOSED: Final = frozenset(
    {"if", "whether", "unless", "suppose", "supposing", "avoid", "prevent"}
)
_SUPPOSED_PAIRS: Final = _runs(
    ("in", "case"),
    ("going", "to"),
    ("gonna",),
    ("want", "to"),
    ("wanted", "to"),
    ("need", "to"),
    ("dont", "want"),
    ("will", "check"),
    ("will", "try"),
    ("ill", "check"),
    ("ill", "try"),
    ("planning", "to"),
    ("plan", "to"),
    ("about", "to"),
    ("thinking", "of"),
    ("havent", "checked"),
    ("not", "checked"),
    ("havent", "looked"),
    ("havent", "tried"),
    ("not", "tried"),
    ("yet", "to"),
    ("didnt", "check"),
    ("didnt", "look"),
    ("cant", "tell"),
    ("not", "sure", "if"),
    ("no", "idea", "if"),
    ("dont", "know", "if"),
    ("worried", "it", "will"),
    ("worried", "it", "might"),
    ("scared", "it"),
    ("afraid", "it"),
    ("would", "it"),
    ("could", "it"),
    ("should", "i"),
    ("do", "i"),
    ("can", "i"),
    ("supposed", "to"),
    ("meant", "to"),
    ("how", "to"),
)
_GUESSED: Final = wordset(
    "maybe might may perhaps possibly probably guess guessing suspect wonder wondering could think "
    "assume assuming unsure seems"
)
_PAST: Final = wordset("previously originally formerly")
_PAST_PAIRS: Final = _runs(
    ("used", "to"),
    ("last", "year"),
    ("years", "ago"),
    ("back", "then"),
    ("at", "first"),
    ("before", "that"),
    ("no", "longer"),
    ("not", "anymore"),
    ("gone", "now"),
    ("is", "gone"),
    ("stopped", "now"),
    ("has", "stopped"),
    ("fixed", "now"),
    ("fixed", "that"),
    ("fixed", "it"),
    ("sorted", "now"),
    ("sorted", "that"),
    ("sorted", "it"),
    ("cured", "it"),
    ("cured", "that"),
    ("cured", "now"),
    ("solved", "now"),
    ("was", "fixed"),
    ("was", "cured"),
    ("is", "fixed"),
    ("is", "cured"),
    ("all", "good", "now"),
    ("fine", "now"),
    ("ok", "now"),
    ("went", "away"),
)
_RELATIONS: Final = wordset(
    "friends mates neighbours brothers cousins colleagues uncles bosses laws lads fathers sisters"
)
_CARS: Final = wordset(
    "car van hatch hatchback estate saloon coupe truck diesel wagon bike motor one roadster"
)
_OTHER_CARS: Final = _runs(
    ("mates", "car"),
    ("friends", "car"),
    ("mates", "one"),
    ("brothers", "car"),
    ("his", "car"),
    ("her", "car"),
    ("their", "car"),
    ("other", "car"),
    ("old", "car"),
    ("last", "car"),
    ("previous", "car"),
    ("wifes", "car"),
    ("old", "turbo"),
    ("old", "setup"),
    ("old", "gate"),
    ("other", "peoples"),
    ("somebody", "elses"),
    ("someone", "elses"),
)


def _holds(words: list[str], runs: Runs) -> bool:
    """Do the words hold one of these runs of words?"""
    return any(
        words[position : position + len(run)] == run
        for position, word in enumerate(words)
        for run in runs.get(word, ())
    )


def _of_others(words: list[str]) -> bool:
    """Is it about somebody's car? My neighbour's van, his diesel."""
    return any(
        word in _CARS
        and (
            words[max(0, k - 1)] in _RELATIONS
            or words[max(0, k - 2)] in _RELATIONS
            or words[max(0, k - 1)] in {"his", "their"}
        )
        for k, word in enumerate(words)
    )


_HAVE_READ: Final = _runs(("i", "read"), ("ive", "read"), ("i", "heard", "that"))
_UNWANTED: Final = _runs(("dont", "want"), ("not", "want"), ("avoid",), ("didnt", "want"))
_WAS: Final = wordset("was were used had did made ran never worked")
_LIKE_BEFORE: Final = frozenset({"than", "like", "as", "day", "week", "night"})


# Before I could lift: that ends a moment, and dates nothing.
_MOMENTS: Final = wordset(
    "could had lifted backed stopped got noticed knew it settles settling coming"
)


def _dated(words: list[str]) -> bool:
    """Is it said of a time before something? Than before only compares."""
    return any(
        word in {"before", "until", "til"}
        and words[max(0, k - 1)] not in _LIKE_BEFORE
        and not _MOMENTS.intersection(words[k + 1 : k + 3])
        for k, word in enumerate(words)
    )


# If I floor it, it cuts out: that is what the car does. If I fit a spring, it will not.
_HABITS: Final = wordset(
    "floor boost accelerate drive turn push lift go do pull hold keep rev give put plant try press "
    "stand come stay use wait let step squeeze snap blow pump back shift change"
)
_WOULD: Final = wordset("will would wont wouldnt could might should shall ill id")


def _supposes(words: list[str]) -> bool:
    """Is it only supposed? As if it hit a wall is said of the car, and so is what it does if."""
    for k, word in enumerate(words):
        if word not in _SUPPOSED:
            continue
        if word != "if" or words[max(0, k - 1)] not in {"as", "like"}:
            acts = words[k + 1 : k + 2] in (["i"], ["you"], ["u"], ["we"])
            if not (word == "if" and acts and _HABITS.intersection(words[k + 2 : k + 4])):
                return True
            if _WOULD.intersection(words):
                return True
    return False


def inquires(sentence: Sentence) -> bool:
    """Does a sentence only ask for advice? It begins with a word that asks."""
    words = sentence.words()
    return bool(words) and words[0] in _ASKERS and not _holds(words, _COMPLAINING)


def of_other_car(sentence: Sentence) -> bool:
    """Is a sentence about somebody else's car?"""
    words = sentence.words()
    return _holds(words, _OTHER_CARS) or _of_others(words)


class Attitude:
    """The stance of a sentence, asked for any stretch of its meaning words."""

    def __init__(self, sentence: Sentence) -> None:
        self.sentence = sentence
        self._places = sentence.clauses
        self._words: dict[int, list[str]] = {}
        for token, clause in zip(sentence.tokens, self._places, strict=True):
            self._words.setdefault(clause, []).append(token.text)
        every = sentence.words()
        self._hearsay = self._told_by_others(every)
        self._complains = _holds(every, _COMPLAINING)
        self._others_car = of_other_car(sentence)
        self._begins_asking = tuple(every[:2]) in _BEGINNINGS and not self._complains
        self._last_clause = self._places[-1] if self._places else 0
        self._fixed = _holds(every, _PAST_PAIRS)

    @staticmethod
    def _told_by_others(words: list[str]) -> int:
        """The word from which on it is told by others; beyond the end where nothing is."""
        if _WORDS_OF_OTHERS.intersection(words) or _holds(words, _HAVE_READ):
            return -1
        for position, word in enumerate(words):
            if word in _OTHERS and _SAYERS.intersection(words[position + 1 : position + 4]):
                # It overboosts, he says.
                return -1 if position >= len(words) - 2 else position
        return len(words)

    def of(self, places: Sequence[int], own: Container[int] = (), reach: int = REACH) -> Stance:
        """The stance of the meaning words at some places, in their order.

        The meaning words in ``own`` belong to phrases of the same meaning and deny nothing;
        a denial reaches over ``reach`` meaning words.
        """
        items = self.sentence.items
        first, last = places[0], places[-1]
        clause = items[first].clause
        words = self._words_beside(clause, items[first].first, items[last].last)
        denied = self._denied(items, (first, last), own, reach) or self._denied_within(places)
        before = _dated(words)
        was = before and (_WAS.intersection(words) or self._ends_past(items[first : last + 1]))
        if self._others_car:
            return "other-car"
        if items[first].first > self._hearsay:
            return "hearsay"
        if denied and _holds(words, _UNWANTED):
            return "supposed"
        if denied:
            # No flutter before the new pipe: there is one now.
            return "said" if before else "denied"
        if was and not self._led_by(self._words.get(clause, []), "before"):
            return "past"
        if _PAST.intersection(words) or self._past(words):
            return "past"
        if self._asking(clause):
            return "asked"
        if not self._complains and _supposes(words):
            return "supposed"
        if _holds(words, _SUPPOSED_PAIRS):
            return "supposed"
        if _GUESSED.intersection(words):
            return "guessed"
        return "said"

    def _words_beside(self, clause: int, first: int, last: int) -> list[str]:
        """The words of a clause without those from token ``first`` to ``last``."""
        return [
            token.text
            for place, token in enumerate(self.sentence.tokens)
            if self._places[place] == clause and not first <= place <= last
        ]

    def _ends_past(self, items: tuple[Item, ...]) -> bool:
        """Is one of the words a verb of the past? It overboosted before I fitted the spring."""
        return any(self.sentence.tokens[item.first].text.endswith("ed") for item in items)

    def _past(self, words: list[str]) -> bool:
        return self._fixed and (_holds(words, _PAST_PAIRS) or len(self._words) == 1)

    @staticmethod
    def _led_by(words: list[str], word: str) -> bool:
        """Does the clause only begin with the word? Then it dates what the next clause says."""
        return bool(words) and words[0] == word

    def _asking(self, clause: int) -> bool:
        if not self.sentence.asked and not self._begins_asking:
            return False
        if self._complains:
            return False
        words = [word for word in self._words.get(clause, []) if word.isalpha()]
        if clause == self._last_clause:
            return True
        return bool(words) and words[0] in _ASKERS

    def _denied(
        self, items: tuple[Item, ...], match: tuple[int, int], own: Container[int], reach: int
    ) -> bool:
        first, last = match
        clause = items[first].clause
        for position in range(first - 1, max(-1, first - 1 - reach), -1):
            item = items[position]
            if item.clause != clause or self._parted(item, items[first]):
                break
            if item.stem in _DENIERS and position not in own:
                following = self._word_after(items[position])
                return following not in _HOLLOW
        return self._denied_after(items[last])

    def _parted(self, one: Item, other: Item) -> bool:
        """Does a colon stand between two words?"""
        return any(token.text == ":" for token in self.sentence.tokens[one.last : other.first])

    def _denied_within(self, places: Sequence[int]) -> bool:
        """Does a denial stand between the words? Boost does not drop at high revs."""
        items = self.sentence.items
        if any(items[place].stem in _DENIERS for place in places):
            return False
        return any(
            items[between].stem in _WITHIN
            and items[between].clause == items[following].clause
            and self._word_after(items[between]) not in _HOLLOW
            for place, following in pairwise(places)
            for between in range(place + 1, following)
        )

    def _word_after(self, item: Item) -> str:
        position = item.last + 1
        return self.sentence.tokens[position].text if position < len(self.sentence.tokens) else ""

    def _denied_after(self, item: Item) -> bool:
        """Knock: none. Leaks - no."""
        tokens = self.sentence.tokens
        position = item.last + 1
        if position + 1 < len(tokens) and tokens[position].text in {":", "-", "="}:
            word = tokens[position + 1].text
            return word in {"no", "none", "nope", "nah", "nothing"} or is_negation(word)
        return False
