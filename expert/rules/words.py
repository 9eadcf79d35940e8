"""Words near each other: those that one slip of the pen turns into one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator


def shortened(word: str) -> Iterator[str]:
    """The word, and each way of leaving one letter out."""
    yield word
    for index in range(len(word)):
        if index == 0 or word[index] != word[index - 1]:
            yield word[:index] + word[index + 1 :]


def one_slip(one: str, other: str) -> bool:
    """Do they differ by one letter too many, too few or wrong, or by two swapped neighbours?"""
    if one == other:
        return False
    start = 0
    while start < min(len(one), len(other)) and one[start] == other[start]:
        start += 1
    end = 0
    least = min(len(one), len(other)) - start
    while end < least and one[len(one) - 1 - end] == other[len(other) - 1 - end]:
        end += 1
    here, there = one[start : len(one) - end], other[start : len(other) - end]
    if max(len(here), len(there)) == 1:
        return True
    return len(here) == len(there) == 2 and here == there[::-1]


class Near:
    """Words that can be found by a misspelling, in time that grows with their number alone.

    Two words one slip apart become the same when one letter of each, or of one, is left out.
    """

    def __init__(self, words: Iterable[str]) -> None:
        self._words: dict[str, list[str]] = {}
        for word in words:
            for short in shortened(word):
                self._words.setdefault(short, []).append(word)

    def of(self, word: str) -> list[str]:
        """The words one slip away, without ``word`` itself."""
        found = {other for short in shortened(word) for other in self._words.get(short, ())}
        return sorted(other for other in found if one_slip(word, other))
