"""Lines that end in carriage return and line feed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.lines import Lines
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject

_PAIR: Final = re.compile(r"\r\n")


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        if "\r\n" in file.text:
            starts = [found.start() for found in _PAIR.finditer(file.text)]
            edits = tuple(Edit(start, start + 1, "") for start in starts)
            count = "1 line ends" if len(starts) == 1 else f"{len(starts)} lines end"
            message = f"{count} in CR LF; save the file with LF alone"
            place = Lines(file.file, file.text).place(starts[0])
            yield Hit(place, message, fix=Fix(file.file, edits))


RULE = Rule(
    id="line-ends",
    severity="warning",
    summary="lines end in CR LF",
    why="A file that changes its line ends shows every line as changed in git.",
    wrong={"tools.yaml": "lamp:\r\n  title: a lamp\r\n"},
    right={"tools.yaml": "lamp:\n  title: a lamp\n"},
    find=_find,
)
