"""The answers of a check in the groups in which a drawing shows them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from expert.model import DANGERS, OTHERWISE, UNKNOWN, Check, Danger

ANY_OTHER = "any other answer"
NOT_KNOWN = "not known"
_MOST_WORDS = 3


@dataclass
class Group:
    """Answers that lead to one place: each with the branch of the tree that it takes."""

    keys: dict[str, str] = field(default_factory=dict)

    @property
    def answers(self) -> list[str]:
        """The known answers."""
        return [answer for answer in self.keys if answer != UNKNOWN]

    @property
    def unknown(self) -> bool:
        """Does an unknown answer lead here?"""
        return UNKNOWN in self.keys


def grouped(check: Check, ends: Mapping[str, object], possible: Collection[str]) -> list[Group]:
    """The possible answers by where their branches end.

    ``ends`` maps each branch of the tree to its end. Answers without a branch, which leave the
    tree, form a group of their own.
    """
    groups: dict[object, Group] = {}
    for answer in (*(answer for answer in check.answers if answer in possible), UNKNOWN):
        key = answer if answer in ends or answer == UNKNOWN else OTHERWISE
        if key in ends or answer != UNKNOWN:
            groups.setdefault(ends.get(key), Group()).keys[answer] = key
    return list(groups.values())


@dataclass(frozen=True, slots=True)
class Share:
    """Some answers of a group that are equally dangerous, and their words."""

    danger: Danger
    answers: tuple[str, ...]
    unknown: bool
    words: tuple[str, ...]


def shares(check: Check, group: Group) -> list[Share]:
    """A group's answers apart by danger; an unknown answer is among the harmless ones."""
    others = {answer for answer in group.answers if group.keys[answer] == OTHERWISE}
    found = []
    for danger in DANGERS:
        answers = [answer for answer in group.answers if check.danger.get(answer, "none") == danger]
        unknown = danger == "none" and group.unknown
        if answers or unknown:
            words = _words(check, answers, others)
            if unknown:
                words = (*words, NOT_KNOWN)
            found.append(Share(danger, tuple(answers), unknown, words))
    return found


def _words(check: Check, answers: Sequence[str], others: Collection[str]) -> tuple[str, ...]:
    """Answers in words; those that the tree does not name are put together when many."""
    named = [answer for answer in answers if answer not in others]
    if len(answers) <= max(len(named), _MOST_WORDS):
        return tuple(check.answers[answer] for answer in answers)
    return (*(check.answers[answer] for answer in named), ANY_OTHER)
