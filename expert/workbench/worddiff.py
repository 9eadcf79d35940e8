"""What has changed in a text, word by word, with a few words around it."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import Final

from expert.text import ELLIPSIS

_AROUND: Final = 3
# Beyond this a text is another one, and comparing it word by word says nothing and takes long.
_MOST_WORDS: Final = 400


def word_diff(old: str, new: str) -> str:
    """The new text with every change as ``[old -> new]``; what stays is cut to a few words."""
    before, after = old.split(), new.split()
    if max(len(before), len(after)) > _MOST_WORDS:
        return (
            f"[{' '.join(before[:_AROUND])} {ELLIPSIS} -> {' '.join(after[:_AROUND])} {ELLIPSIS}]"
        )
    pieces: list[str] = []
    steps = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    for number, (step, low, high, start, end) in enumerate(steps):
        if step == "equal":
            alone = len(steps) == 1
            pieces += _around(before[low:high], alone or number > 0, number < len(steps) - 1)
        else:
            pieces.append(f"[{' '.join([*before[low:high], '->', *after[start:end]])}]")
    return " ".join(pieces)


def _around(words: list[str], follows: bool, leads: bool) -> list[str]:
    """The words next to a change on either side; the others become an ellipsis."""
    head = words[:_AROUND] if follows else []
    tail = words[-_AROUND:] if leads else []
    if len(head) + len(tail) >= len(words):
        return words
    return [*head, ELLIPSIS, *tail]
