"""A basis that does not say where the claim comes from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.rule import Hit, Rule, Subject

# Words for claims that have no source to cite, or a number: a year, a section or an edition.
_SOURCE: Final = re.compile(
    r"common practice|invented|from memory|own choice|rules? of thumb|guess|by trial|learned from"
    r"|workshop|figures?|measured|\d",
    re.IGNORECASE,
)


def _find(subject: Subject) -> Iterator[Hit]:
    for one in subject.prose:
        if one.field == "basis" and not _SOURCE.search(one.text):
            place = subject.places.value(one.kind, one.name, "basis")
            message = (
                "this names no source; cite one with its year, or write 'common practice', 'from"
                " memory', 'measured' or 'invented'"
            )
            yield Hit(place, message, (one.kind, one.name))


RULE = Rule(
    id="basis-source",
    severity="warning",
    summary="a basis does not say where the claim comes from",
    why=(
        "Whoever doubts an entry must know whether to look into a book, ask the shop, or believe"
        " nothing."
    ),
    wrong={
        "cautions.yaml": """\
hot-parts: {signal: WARNING, text: Hot parts burn; wait., basis: everybody knows}
"""
    },
    right={
        "cautions.yaml": """\
hot-parts: {signal: WARNING, text: Hot parts burn; wait., basis: common practice}
"""
    },
    find=_find,
)
