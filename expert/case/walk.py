"""The way through a symptom's tree that the known answers have taken."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from expert.case.state import State
from expert.model import OTHERWISE, UNKNOWN, Ask, Fork, Go, Suspect, Symptom, Tree

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Visit:
    """A node on the way: where it stands in the symptom, and the branch taken from it, if any."""

    path: Path
    node: Ask | Fork | Suspect
    branch: str | None


@dataclass(frozen=True, slots=True)
class Walk:
    """The visits so far, and the check to ask now; none at a leaf, or where the tree was left."""

    visits: tuple[Visit, ...]
    pending: str | None = None


def walk(symptom: Symptom, state: State, parts: Container[str]) -> Walk:
    """Walk the tree as far as the answers and the parts of the car lead."""
    visits: list[Visit] = []
    path: Path = ("tree",)
    node: Tree = symptom.tree
    while True:
        if isinstance(node, Go):
            path = ("subtrees", node.subtree)
            node = symptom.subtrees[node.subtree]
            continue
        if isinstance(node, Suspect):
            visits.append(Visit(path, node, None))
            return Walk(tuple(visits))
        if isinstance(node, Ask):
            if not _asked(state, node.check):
                visits.append(Visit(path, node, None))
                return Walk(tuple(visits), pending=node.check)
            branch, step, branches = _answered_branch(node, state), "then", node.then
        else:
            branch, step, branches = fork_branch(node, parts), "has", node.has
        visits.append(Visit(path, node, branch))
        if branch is None:
            return Walk(tuple(visits))
        path, node = (*path, step, branch), branches[branch]


def _asked(state: State, check: str) -> bool:
    return state.finding(check) is not None or check in state.set_aside


def _answered_branch(node: Ask, state: State) -> str | None:
    answers = state.answers(node.check)
    if not answers:
        return UNKNOWN if UNKNOWN in node.then else None
    named = [answer for answer in node.then if answer in answers]
    if named:
        return named[0]
    return OTHERWISE if OTHERWISE in node.then else None


def fork_branch(node: Fork, parts: Container[str]) -> str | None:
    """The branch that a car with these parts takes; None where the fork has none for it."""
    for part in node.has:
        if part in parts:
            return part
    return OTHERWISE if OTHERWISE in node.has else None
