"""The end of a file: one line break, and no empty lines before it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.lines import Lines
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject

# Lines that hold nothing, down to the end; blanks in them are for trailing-blanks.
_EMPTY: Final = re.compile(r"\r?\n")


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        end = len(file.text)
        if not file.text.endswith("\n"):
            message = "the last line has no line break; add one"
            edits = (Edit(end, end, "\n"),)
            start = end
        else:
            body = len(file.text.rstrip("\r\n"))
            first = _EMPTY.match(file.text, body)
            if first is None or first.end() == end:
                continue
            start = first.end()
            message = "empty lines at the end of the file; delete them"
            edits = (Edit(start, end, ""),)
        place = Lines(file.file, file.text).place(start)
        yield Hit(place, message, fix=Fix(file.file, edits))


RULE = Rule(
    id="last-line",
    severity="warning",
    summary="the last line has no line break, or empty lines follow it",
    why="What is appended to such a file runs into its last line, or leaves a hole.",
    wrong={"tools.yaml": "lamp: {title: a lamp}"},
    right={"tools.yaml": "lamp: {title: a lamp}\n"},
    find=_find,
)
