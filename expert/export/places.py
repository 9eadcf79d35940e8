"""The places of a symptom's tree, each once, with the steps between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from graphlib import TopologicalSorter

from expert.case.walk import Path
from expert.model import Ask, Fork, Go, Suspect, Symptom, Tree


@dataclass(frozen=True, slots=True)
class Place:
    """A node of the tree and where each of its branches leads."""

    node: Ask | Fork | Suspect
    steps: Mapping[str, Path]


@dataclass(frozen=True, slots=True)
class Places:
    """All places by their path, in an order in which every way runs forward."""

    root: Path
    by_path: Mapping[Path, Place]


def places(symptom: Symptom) -> Places:
    """The places of a tree that ends, whatever is answered (``loading`` refuses others)."""
    root = _landing(symptom, ("tree",), symptom.tree)
    found: dict[Path, Place] = {}
    todo = [root]
    while todo:
        path, node = todo.pop()
        if path in found:
            continue
        landings = {key: _landing(symptom, *step) for key, step in _steps(path, node).items()}
        found[path] = Place(node, {key: place for key, (place, _) in landings.items()})
        todo += landings.values()
    before: dict[Path, list[Path]] = {path: [] for path in found}
    for path, place in found.items():
        for target in place.steps.values():
            before[target].append(path)
    return Places(root[0], {path: found[path] for path in TopologicalSorter(before).static_order()})


def _steps(path: Path, node: Ask | Fork | Suspect) -> dict[str, tuple[Path, Tree]]:
    match node:
        case Ask(_, then):
            return {key: ((*path, "then", key), tree) for key, tree in then.items()}
        case Fork(has):
            return {key: ((*path, "has", key), tree) for key, tree in has.items()}
        case Suspect():
            return {}


def _landing(symptom: Symptom, path: Path, node: Tree) -> tuple[Path, Ask | Fork | Suspect]:
    """Where a branch ends up once references to subtrees are followed."""
    while isinstance(node, Go):
        path, node = ("subtrees", node.subtree), symptom.subtrees[node.subtree]
    return path, node
