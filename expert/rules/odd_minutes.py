"""Minutes that no such work takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from expert.rules.prose import KINDS
from expert.rules.rule import Hit, Rule, Subject

# Least and most by kind: a look takes half a minute, and what takes longer than half a day at the
# car is two checks; an engine is out and in again within two working weeks.
LIMITS: Final[Mapping[str, tuple[float, float]]] = {
    "check": (0.5, 240.0),
    "preparation": (1.0, 480.0),
    "cause": (1.0, 4800.0),
}


def _find(subject: Subject) -> Iterator[Hit]:
    for kind, (least, most) in LIMITS.items():
        for name, entry in getattr(subject.knowledge, KINDS[kind]).items():
            if not least <= entry.minutes <= most:
                place = subject.places.value(kind, name, "minutes")
                message = f"found {entry.minutes:g} minutes; expected {least:g} to {most:g}"
                yield Hit(place, message, (kind, name))


RULE = Rule(
    id="odd-minutes",
    severity="warning",
    summary="the minutes of a check, a preparation or a repair are out of all proportion",
    why="What to do next is chosen by minutes; a slip in them hides a check or puts it first.",
    wrong={"preparations.yaml": "gate-off: {title: Take it off, minutes: 4500, basis: invented}\n"},
    right={"preparations.yaml": "gate-off: {title: Take it off, minutes: 45, basis: invented}\n"},
    find=_find,
)
