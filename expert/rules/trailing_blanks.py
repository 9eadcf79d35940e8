"""Blanks at the end of a line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.lines import Lines
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject

# The look behind keeps a long run of blanks inside a line from being tried at each of them.
_BLANKS: Final = re.compile(r"(?<! ) +(?=\r?\n|\Z)")


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        # Most files have none, which is seen more quickly so.
        if not (" \n" in file.text or " \r\n" in file.text or file.text.endswith(" ")):
            continue
        lines = None
        for found in _BLANKS.finditer(file.text):
            lines = lines or Lines(file.file, file.text)
            fix = Fix(file.file, (Edit(*found.span(), ""),))
            place = lines.place(found.start())
            yield Hit(place, "blanks at the end of the line; delete them", fix=fix)


RULE = Rule(
    id="trailing-blanks",
    severity="warning",
    summary="a line ends in blanks",
    why="Nobody sees them, and they show up as changes in git.",
    wrong={"tools.yaml": "lamp: {title: a lamp}  \n"},
    right={"tools.yaml": "lamp: {title: a lamp}\n"},
    find=_find,
)
