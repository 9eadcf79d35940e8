"""The parser's marks as places in a file."""

from __future__ import annotations

import yaml

from expert.errors import Place


def place(file: str, mark: yaml.Mark, text: str) -> Place:
    """The place of a parser's mark, whose line and column count from 0.

    The parser may put what is missing behind the end of the text; its place is moved back onto
    the last line.
    """
    lines = text.rstrip().split("\n")
    if mark.line < len(lines):
        return Place(file, mark.line + 1, min(mark.column, len(lines[mark.line])) + 1)
    return Place(file, len(lines), len(lines[-1]) + 1)
