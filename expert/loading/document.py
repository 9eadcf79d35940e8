"""One file as it was read: its name for messages, its text, its nodes, and places in it."""

from __future__ import annotations

from functools import cached_property

from yaml import Node

from expert.errors import Place
from expert.loading.marks import place
from expert.loading.nodes import parse


class Document:
    """The text of one file, and its nodes.

    Nodes are many times as large as the text and seldom needed once it is decoded, so they are
    not kept but made anew when a place is asked for.
    """

    def __init__(self, file: str, text: str) -> None:
        self.file = file
        self.text = text

    def place(self, node: Node) -> Place:
        """Where a node of this file begins."""
        return place(self.file, node.start_mark, self.text)

    @cached_property
    def root(self) -> Node:
        """The root node; there is one, since an entry was read from it."""
        root, _ = parse(self.text, self.file)
        if root is None:
            raise ValueError(f"{self.file} holds no entry")
        return root
