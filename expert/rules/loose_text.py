"""Texts over several lines that are not written as a block."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from expert.errors import Place
from expert.rules.lines import BYTE_ORDER_MARK
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject, Text

# Indent, then dashes of lists, then a key if there is one, then what begins on the line.
_LINE: Final = re.compile(r"( *)((?:- +)*)([\w.:/-]+:(?= |$))? *(.*)")
_WIDEST: Final = 100
# A value on its line with a deeper line below, or a wide line: what most files do not have at all.
_MAYBE: Final = re.compile(
    rf"^(?=( *))(?=[^\n]{{{_WIDEST + 1}}}|[^\n]+\n\1 +\S) *(?:- +|[\w.:/-]+: +)[^\s>|\[{{#]",
    re.MULTILINE,
)
_BLOCK: Final = re.compile(r"[>|][-+\d]*(?: +#.*)?$")


class _Value(NamedTuple):
    """A text that began on a line: that line, the column and offset of the text, and the text."""

    number: int
    column: int
    offset: int
    text: str


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        if _MAYBE.search(file.text.removeprefix(BYTE_ORDER_MARK)):
            yield from _loose(file)


def _loose(file: Text) -> Iterator[Hit]:
    # The indent over which a line still belongs to the value above it; None outside a value.
    inside: int | None = None
    begun: _Value | None = None
    more: list[str] = []
    start = 0
    for number, raw in enumerate(file.text.split("\n"), 1):
        line = raw.rstrip("\r")
        bare = line.strip(f" {BYTE_ORDER_MARK}")
        indent = len(line) - len(line.lstrip(" "))
        if bare and inside is not None and indent > inside:
            more.append(line)
        elif bare:
            if begun is not None:
                yield from _hits(file, begun, more)
            inside, begun, more = None, None, []
            found = _LINE.match(line)
            value = found[4].rstrip() if found else ""
            if found and (found[2] or found[3]) and value and bare[0] != "#" and value[0] != "#":
                inside = indent + len(found[2]) - (0 if found[3] else 1)
                if not _BLOCK.match(value) and value[0] not in "[{":
                    begun = _Value(number, found.start(4) + 1, start + found.start(4), value)
        start += len(raw) + 1
    if begun is not None:
        yield from _hits(file, begun, more)


def _hits(file: Text, begun: _Value, more: list[str]) -> Iterator[Hit]:
    place = Place(file.file, begun.number, begun.column)
    if more:
        message = "a text over several lines; write it as a block after '>-'"
        yield Hit(place, message, fix=_fix(file, begun, more))
    elif " " in begun.text and begun.column - 1 + len(begun.text) > _WIDEST:
        message = f"the line is over {_WIDEST} characters; write the text as a block after '>-'"
        yield Hit(place, message)


def _fix(file: Text, begun: _Value, more: list[str]) -> Fix | None:
    """The block, where it says the same for certain: no quotes, comments, or uneven indents."""
    indents = {len(line) - len(line.lstrip(" ")) for line in more}
    plain = begun.text[0] not in "'\"" and not any(" #" in line for line in [begun.text, *more])
    if not plain or len(indents) != 1 or "\r" in file.text:
        return None
    edit = Edit(begun.offset, begun.offset, f">-\n{' ' * indents.pop()}")
    return Fix(file.file, (edit,))


RULE = Rule(
    id="loose-text",
    severity="warning",
    summary="a text over several lines, or over a long one, is not written as a block",
    why=(
        "In a text without '>-' a colon or a number sign in a later line ends it or means something"
        " else, and an editor cannot wrap it."
    ),
    wrong={
        "tools.yaml": "lamp:\n  title: bright lamp\n    that fits behind a valve\n",
    },
    right={
        "tools.yaml": "lamp:\n  title: >-\n    bright lamp\n    that fits behind a valve\n",
    },
    find=_find,
)
