"""What is known about one file while it is read: its mistakes, and the ids that it refers to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from typing import Final

from yaml import Node

from expert.errors import Mistake
from expert.loading.document import Document
from expert.loading.nearest import nearest
from expert.loading.nodes import MOST_MISTAKES
from expert.text import clean

_LONGEST_QUOTE: Final = 60
_LONGEST_LIST: Final = 24


def quoted(text: str) -> str:
    """A found text between quotes, safe and short enough for a message."""
    return f"'{clean(text, _LONGEST_QUOTE)}'"


def listed(names: Iterable[str]) -> str:
    """Names one after the other."""
    return ", ".join(names)


class Reading:
    """The mistakes of one file and the ids that it refers to, by kind, each with its node."""

    __slots__ = ("document", "mistakes", "refs")

    def __init__(self, document: Document) -> None:
        self.document = document
        self.mistakes: list[Mistake] = []
        self.refs: defaultdict[str, list[Node]] = defaultdict(list)

    @property
    def full(self) -> bool:
        """Whether there are so many mistakes that no more are kept."""
        return len(self.mistakes) > MOST_MISTAKES

    def add(self, node: Node, message: str) -> None:
        """Note a mistake where ``node`` begins; of very many, only the first are kept."""
        if self.full:
            return
        if len(self.mistakes) == MOST_MISTAKES:
            message = f"more mistakes follow; mend the first {MOST_MISTAKES} first"
        self.mistakes.append(Mistake(self.document.place(node), message))

    def add_unknown(self, node: Node, what: str, known: Collection[str]) -> None:
        """Note a name that is not known, with the known ones and the nearest of them."""
        if not self.full:
            self.add(node, unknown(what, str(node.value), known))


def unknown(what: str, found: str, known: Collection[str]) -> str:
    """The message for a name that is not known."""
    message = f"{what} {quoted(found)} is not known" if found else f"{what} is missing here"
    close = nearest(found, known)
    if close:
        return f"{message}; did you mean '{close}'?"
    if not known:
        return f"{message}; there are none yet"
    return f"{message}; expected one of {listed(known)}" if len(known) <= _LONGEST_LIST else message
