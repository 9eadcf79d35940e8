"""The first line, from which an editor knows the keys of a file."""

from __future__ import annotations

from collections.abc import Iterator

from expert.errors import Place
from expert.rules.lines import BYTE_ORDER_MARK
from expert.rules.rule import Edit, Fix, Hit, Rule, Subject

MARK = "# yaml-language-server:"


def _find(subject: Subject) -> Iterator[Hit]:
    for file in subject.texts:
        wanted = file.schema_line
        if wanted is None:
            continue
        start = len(BYTE_ORDER_MARK) if file.text.startswith(BYTE_ORDER_MARK) else 0
        first, _, _ = file.text[start:].partition("\n")
        line = first.rstrip("\r ")
        if line == wanted:
            continue
        if line.startswith(MARK):
            message = f"the first line names another schema; expected '{wanted}'"
            edit = Edit(start, start + len(line), wanted)
        else:
            message = f"the first line names no schema; add '{wanted}'"
            edit = Edit(start, start, f"{wanted}\n")
        yield Hit(Place(file.file, 1, 1), message, fix=Fix(file.file, (edit,)))


RULE = Rule(
    id="schema-line",
    severity="warning",
    summary="the first line does not name the schema of the file",
    why=(
        "An editor that knows the schema completes keys and underlines mistakes while you type."
        " A folder without schemas need not name any."
    ),
    wrong={
        "schema/tools.json": "{}\n",
        "tools.yaml": "# yaml-language-server: $schema=schema/check.json\nlamp: {title: a lamp}\n",
    },
    right={
        "schema/tools.json": "{}\n",
        "tools.yaml": "# yaml-language-server: $schema=schema/tools.json\nlamp: {title: a lamp}\n",
    },
    find=_find,
)
