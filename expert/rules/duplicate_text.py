"""Two entries with the same title or question."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.rules.rule import Hit, Rule, Subject

_FIELDS: Final = frozenset({"title", "ask"})
_MARKS: Final = re.compile(r"[\W_]+")


def _find(subject: Subject) -> Iterator[Hit]:
    cars = {"cause": subject.cause_cars, "check": subject.check_cars}
    seen: dict[tuple[str, str], dict[str, int]] = {}
    for one in subject.prose:
        if one.field not in _FIELDS or one.path[1:]:
            continue
        key = (one.kind, _MARKS.sub(" ", one.text.casefold()).strip())
        # What no car has both of is never seen side by side.
        here = cars.get(one.kind, {}).get(one.name, -1)
        others = seen.setdefault(key, {})
        other = next((name for name, there in others.items() if here & there), None)
        if other is not None:
            place = subject.places.value(one.kind, one.name, *one.path)
            message = f"the {one.kind} '{other}' has the same {one.field}; say how they differ"
            yield Hit(place, message, (one.kind, one.name))
        others.setdefault(one.name, here)


RULE = Rule(
    id="duplicate-text",
    severity="warning",
    summary="two entries of a kind on one car have the same title or question",
    why="On the screen nobody can tell them apart, and often one of them is a forgotten copy.",
    wrong={"tools.yaml": "lamp: {title: a lamp}\nlamp-of-shop: {title: A lamp}\n"},
    right={"tools.yaml": "lamp: {title: a lamp}\nlamp-of-shop: {title: a lamp with a clamp}\n"},
    find=_find,
)
