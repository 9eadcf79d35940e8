"""Offsets in a text as lines and columns, many of them quickly."""

from __future__ import annotations

from bisect import bisect_right
from itertools import accumulate
from typing import Final

from expert.errors import Place

BYTE_ORDER_MARK: Final = "\ufeff"


class Lines:
    """The lines of one file; a byte order mark counts as no column."""

    def __init__(self, file: str, text: str) -> None:
        self._file = file
        self._marked = text.startswith(BYTE_ORDER_MARK)
        # Where each line begins, and where one behind the last would.
        self._starts = [0, *accumulate(len(line) + 1 for line in text.split("\n"))]

    def place(self, offset: int) -> Place:
        """The place of the character at ``offset``."""
        line = bisect_right(self._starts, offset, hi=len(self._starts) - 1)
        column = offset - self._starts[line - 1] + 1
        if line == 1 and self._marked and column > 1:
            column -= 1
        return Place(self._file, line, column)
