"""Where each entry of the knowledge, and each thing in it, is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.errors import Place
from expert.loading.decode import yaml_key
from expert.loading.document import Document


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry as it was read: at ``key`` in its file, or the whole file when that is None.

    It is ``broken`` when it has mistakes of its own. ``overrides`` is the entry that it takes the
    place of, from an earlier folder.
    """

    value: Any
    document: Document
    key: str | None
    broken: bool
    overrides: Entry | None = None

    def nodes(self) -> tuple[Node, Node]:
        """The nodes of its key and of itself; the same node twice for a whole file."""
        root = self.document.root
        if self.key is None:
            return root, root
        return _step(root, self.key) or (root, root)

    def place(self) -> Place:
        """Where it begins: at its key if it has one."""
        return self.document.place(self.nodes()[0])


class Places:
    """The places of all entries, looked up only when one is asked for."""

    __slots__ = ("_entries",)

    def __init__(self, entries: Mapping[str, Mapping[str, Entry]]) -> None:
        self._entries = entries

    def of(self, kind: str, name: str, *path: str | int) -> Place:
        """Where an entry, or what ``path`` leads to inside it, begins: at its key if it has one.

        ``kind`` is a name of ``expert.loading.kinds`` ("cause"), the steps of ``path`` are names
        of fields as in the model or in the file, ids, and positions in lists. Steps that lead
        nowhere, such as a field that was left out, are dropped. Raises KeyError for no such entry.
        """
        return self._place(kind, name, path, 0)

    def value(self, kind: str, name: str, *path: str | int) -> Place:
        """The same, at the value behind the key."""
        return self._place(kind, name, path, 1)

    def file(self, kind: str, name: str) -> str:
        """The file that an entry came from, as messages show it."""
        return self._entries[kind][name].document.file

    def entry(self, kind: str, name: str) -> Entry:
        """An entry as it was read. Raises KeyError for no such entry."""
        return self._entries[kind][name]

    def overridden(self, kind: str, name: str) -> tuple[Entry, ...]:
        """The entries of earlier folders that an entry stands for, the one it overrides first."""
        found = []
        entry = self._entries[kind][name].overrides
        while entry is not None:
            found.append(entry)
            entry = entry.overrides
        return tuple(found)

    def _place(self, kind: str, name: str, path: tuple[str | int, ...], side: int) -> Place:
        entry = self._entries[kind][name]
        found = entry.nodes()
        for step in path:
            further = _step(found[1], step)
            if further is None:
                break
            found = further
        return entry.document.place(found[side])


def _step(node: Node, step: str | int) -> tuple[Node, Node] | None:
    if isinstance(node, MappingNode):
        by_text = {
            key.value: (key, value) for key, value in node.value if isinstance(key, ScalarNode)
        }
        return by_text.get(str(step)) or by_text.get(yaml_key(str(step)))
    if isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.value):
        item = node.value[step]
        return item, item
    return None
