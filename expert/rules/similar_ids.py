"""Ids that are easily taken for one another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from expert.rules.prose import KINDS
from expert.rules.rule import Hit, Rule, Subject
from expert.rules.words import Near

_PREFIX: Final = "as-designed:"


def _find(subject: Subject) -> Iterator[Hit]:
    for kind, field in KINDS.items():
        for name, other in _alike(getattr(subject.knowledge, field)):
            place = subject.places.of(kind, name)
            message = f"'{name}' is easily taken for the {kind} '{other}'; rename one of them"
            yield Hit(place, message, (kind, name))


def _alike(names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Each id with the first that is a slip away, or has its words in another order."""
    order = {name: index for index, name in enumerate(names)}
    near = Near(order)
    by_words: dict[tuple[str, ...], str] = {}
    for name, index in order.items():
        words = tuple(sorted(name.removeprefix(_PREFIX).split("-")))
        other = by_words.setdefault(words, name)
        close = [one for one in near.of(name) if not _counted(name, one)]
        earlier = sorted((order[one], one) for one in {other, *close} if order[one] < index)
        if earlier:
            yield name, earlier[0][1]


def _counted(one: str, other: str) -> bool:
    """Do they differ in digits alone, as in a series?"""
    return one.rstrip("0123456789") == other.rstrip("0123456789")


RULE = Rule(
    id="similar-ids",
    severity="warning",
    summary="two ids of a kind differ by one letter, or by the order of their words",
    why=(
        "Ids are typed by hand in rows of 'given' and in trees. Taken for one another, they load"
        " well and mean something else."
    ),
    wrong={"tools.yaml": "lamp: {title: a lamp}\nlamps: {title: two lamps on a stand}\n"},
    right={"tools.yaml": "lamp: {title: a lamp}\nlights: {title: two lamps on a stand}\n"},
    find=_find,
)
