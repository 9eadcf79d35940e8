"""A byte order mark at the head of a file."""

from __future__ import annotations

from collections.abc import Iterator

from expert.errors import Place
from expert.rules.lines import BYTE_ORDER_MARK
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        if file.text.startswith(BYTE_ORDER_MARK):
            fix = Fix(file.file, (Edit(0, 1, ""),))
            message = "the file begins with a byte order mark; save it as UTF-8 without one"
            yield Hit(Place(file.file, 1, 1), message, fix=fix)


RULE = Rule(
    id="byte-order-mark",
    severity="warning",
    summary="a file begins with a byte order mark",
    why="The mark is invisible, means nothing in UTF-8, and makes the first line differ in git.",
    wrong={"tools.yaml": "\ufefflamp: {title: a lamp}\n"},
    right={"tools.yaml": "lamp: {title: a lamp}\n"},
    find=_find,
)
