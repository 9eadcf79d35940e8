"""Texts that are too long to be read beside the car."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from expert.rules.rule import Hit, Rule, Subject

# In characters, by field of any entry; a line of a phone holds about 40 of them.
LIMITS: Final[Mapping[str, int]] = {
    "title": 80,
    "ask": 100,
    "answers": 90,
    "ports": 100,
    "how": 180,
    "hoses": 160,
    "text": 280,
    "what": 400,
    "confirm": 320,
    "fix": 400,
    "basis": 300,
    "excused": 300,
}
# For a field that the model has and the list above has not.
OTHER: Final = 300
_OF_KIND: Final[Mapping[tuple[str, str], int]] = {("case", "title"): 120}


def _find(subject: Subject) -> Iterator[Hit]:
    for one in subject.prose:
        most = _OF_KIND.get((one.kind, one.field)) or LIMITS.get(one.field, OTHER)
        if len(one.text) > most:
            place = subject.places.value(one.kind, one.name, *one.path)
            message = f"found {len(one.text)} characters; expected at most {most}, so cut or split"
            yield Hit(place, message, (one.kind, one.name))


RULE = Rule(
    id="long-text",
    severity="warning",
    summary="a text is too long to be read beside the car",
    why=(
        "Texts are read on a phone, lying under a car. A long step hides what is to be done; two"
        " steps do not."
    ),
    wrong={
        "tools.yaml": (
            "lamp:\n  title: a lamp with a long and thin cable, bright enough to see light by, that"
            " fits behind a valve\n"
        )
    },
    right={"tools.yaml": "lamp:\n  title: bright lamp that fits behind a valve\n"},
    find=_find,
)
