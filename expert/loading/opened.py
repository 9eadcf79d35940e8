"""A file of sentences or letters as its root node, with whatever is wrong before it is read."""

from __future__ import annotations

from pathlib import Path

from yaml import Node

from expert.errors import KnowledgeError, Mistake, Place
from expert.loading.document import Document
from expert.loading.nodes import parse
from expert.loading.reading import Reading
from expert.loading.source import read_bytes, to_text


def opened(path: Path, shown: str, mistakes: list[Mistake]) -> tuple[Node, Reading] | None:
    """The root node of a file, and where to note what is wrong in it.

    None where there is no root node; why not joins ``mistakes``, as does what is wrong with the
    form of the file.
    """
    try:
        text = to_text(read_bytes(path, shown), shown)
        root, found = parse(text, shown)
    except KnowledgeError as problem:
        mistakes.extend(problem.mistakes)
        return None
    if root is None:
        found.append(Mistake(Place(shown, 1, 1), "there is nothing in this file but comments"))
    mistakes.extend(found)
    return None if root is None else (root, Reading(Document(shown, text)))
