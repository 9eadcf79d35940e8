"""Words that look like a slip of the pen for a common one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from expert.rules.rule import Hit, Rule, Subject
from expert.rules.words import Near

# Short words have too many neighbours that are words as well.
_WORD: Final = re.compile(r"[^\W\d_]{6,}(?:['\u2019][^\W\d_]+)?")
_OFTEN: Final = 5
_VOWELS: Final = frozenset("aeiou")
# Keys that are side by side on most keyboards.
_ROWS: Final = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_KEYS: Final = frozenset(frozenset(pair) for row in _ROWS for pair in pairwise(row))


def _find(subject: Subject) -> Iterator[Hit]:
    counts: Counter[str] = Counter()
    for one in subject.prose:
        counts.update(_words(one.text))
    near = Near(word for word, count in counts.items() if count >= _OFTEN)
    meant: dict[str, str] = {}
    for word, count in counts.items():
        close = [other for other in near.of(word) if is_slip(word, other)] if count == 1 else ()
        if close:
            meant[word] = close[0]
    for one in subject.prose if meant else ():
        for word in meant.keys() & set(_words(one.text)):
            place = subject.places.value(one.kind, one.name, *one.path)
            message = f"'{word}' stands here alone; did you mean '{meant[word]}'?"
            yield Hit(place, message, (one.kind, one.name))


def _words(text: str) -> list[str]:
    return _WORD.findall(text.lower())


def is_slip(rare: str, common: str) -> bool:
    """Is the rare word more likely a slip for the common one than a word of its own?

    Most pairs of words one letter apart are both sound, as sealing and scaling are. A slip swaps
    two letters, hits the next key or another vowel, drops or doubles a letter, drops a vowel or
    slips one in; and the two ends of a word are seldom missed.
    """
    if rare[0] != common[0] or rare[-1] != common[-1] or "'" in rare + common:
        return False
    start = next(k for k in range(len(rare)) if rare[: k + 1] != common[: k + 1])
    if len(rare) == len(common):
        one, other = rare[start], common[start]
        if rare[start + 1 :] != common[start + 1 :]:
            return True
        return frozenset((one, other)) in _KEYS or {one, other} <= _VOWELS
    long = max(rare, common, key=len)
    letter = long[start]
    return letter in _VOWELS or letter in long[start - 1 : start]


RULE = Rule(
    id="misspelt",
    severity="warning",
    summary="a word that stands once is one letter away from a word that stands often",
    why=(
        "It is most likely a slip of the pen. A rare word that is right can be excused, or said"
        " otherwise."
    ),
    wrong={
        "checks/hoses.yaml": """\
cracks:
  ask: Is the outside of the pressure hose cracked?
  how:
    - Look at the outside of the pressure hose.
    - Bend the pressure hose and look at the outside of the bend.
    - Feel along the outside of the pressure hose for soft places.
  minutes: 2
  answers:
    sound: The outside is whole
    cracked: The outsise of the pressure hose is cracked
  healthy: {cracked: .01}
  given:
    hose-off: {cracked: .95}
  basis: common practice
"""
    },
    right={
        "checks/hoses.yaml": """\
cracks:
  ask: Is the outside of the pressure hose cracked?
  how:
    - Look at the outside of the pressure hose.
    - Bend the pressure hose and look at the outside of the bend.
    - Feel along the outside of the pressure hose for soft places.
  minutes: 2
  answers:
    sound: The outside is whole
    cracked: The outside of the pressure hose is cracked
  healthy: {cracked: .01}
  given:
    hose-off: {cracked: .95}
  basis: common practice
"""
    },
    find=_find,
)
