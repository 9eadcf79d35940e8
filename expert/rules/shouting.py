"""Words in capitals, and exclamation marks."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.rule import Hit, Rule, Subject

# Abbreviations of the trade have four letters at most; signal words stand on cautions.
_LOUD: Final = re.compile(r"!|\b[A-Z]{5,}\b|\b[A-Z]{2,} [A-Z]{2,}\b|\b(?:NOT|NEVER|STOP|MUST)\b")
_HINT: Final = re.compile(r"!|[A-Z]{2}")


def _find(subject: Subject) -> Iterator[Hit]:
    for one in subject.prose:
        # Most texts have capitals at the head of sentences alone.
        found = _LOUD.search(one.text) if _HINT.search(one.text) else None
        if found and one.field != "basis":
            place = subject.places.value(one.kind, one.name, *one.path)
            message = f"found '{found.group()}'; say it plainly, and warn with a caution"
            yield Hit(place, message, (one.kind, one.name))


RULE = Rule(
    id="shouting",
    severity="warning",
    summary="a text shouts: a word in capitals, or an exclamation mark",
    why=(
        "Whoever shouts in every step is not heard in the one that matters. Cautions have signal"
        " words for that, and the program shows them first."
    ),
    wrong={"tools.yaml": "lamp: {title: a lamp that is NEVER lit near fuel}\n"},
    right={"tools.yaml": "lamp: {title: a lamp for places without fuel vapour}\n"},
    find=_find,
)
