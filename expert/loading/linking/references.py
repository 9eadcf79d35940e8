"""Ids that nothing has, in every field that refers to an entry of some kind."""

from __future__ import annotations

from expert.errors import Mistake
from expert.loading.entries import Entries


def check_references(entries: Entries) -> list[Mistake]:
    """The references to unknown entries, found in the nodes that were kept while decoding.

    Kinds of which a file could not be read are left out: their ids are not all known.
    """
    mistakes: list[Mistake] = []
    for reading in entries.readings:
        for kind, nodes in reading.refs.items():
            known = entries.by_kind[kind]
            if kind not in entries.lost:
                for node in nodes:
                    if node.value not in known:
                        reading.add_unknown(node, f"the {kind}", known)
        mistakes.extend(reading.mistakes)
    return mistakes
