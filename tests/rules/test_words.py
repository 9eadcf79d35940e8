"""Words one slip apart, against a plain count of edits."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from expert.rules.words import Near, one_slip

WORDS = st.text("abc", min_size=1, max_size=6)


def edits(one: str, other: str) -> int:
    """Optimal string alignment distance, by the textbook recurrence (Damerau 1964; from memory)."""
    rows = [[k + j if not k * j else 0 for j in range(len(other) + 1)] for k in range(len(one) + 1)]
    for k in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            wrong = one[k - 1] != other[j - 1]
            best = min(rows[k - 1][j] + 1, rows[k][j - 1] + 1, rows[k - 1][j - 1] + wrong)
            if k > 1 and j > 1 and one[k - 1] == other[j - 2] and one[k - 2] == other[j - 1]:
                best = min(best, rows[k - 2][j - 2] + 1)
            rows[k][j] = best
    return rows[-1][-1]


def test_the_recurrence_itself() -> None:
    assert edits("kitten", "sitting") == 3
    assert edits("ab", "ba") == 1


@given(WORDS, WORDS)
def test_one_slip_is_one_edit(one: str, other: str) -> None:
    assert one_slip(one, other) == (edits(one, other) == 1)


@given(st.lists(WORDS, unique=True), WORDS)
def test_near_finds_exactly_the_words_one_slip_away(words: list[str], word: str) -> None:
    assert Near(words).of(word) == sorted(one for one in words if edits(word, one) == 1)
