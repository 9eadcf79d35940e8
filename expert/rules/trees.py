"""What is known at each node of a tree: the answers given on every way there, and the cars."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from expert.model import OTHERWISE, UNKNOWN, Ask, Check, Fork, Go, Knowledge, Symptom, Tree
from expert.rules.rule import Fleet

Path = tuple[str, ...]
# Check -> the answers that it may have here, `unknown` among them; a check that some way has not
# asked is left out.
Known = Mapping[str, frozenset[str]]


class Visit(NamedTuple):
    """A node with all that is sure on every way to it; without cars, nothing comes there."""

    path: Path
    node: Tree
    known: Known
    cars: int


def visits(symptom: Symptom, knowledge: Knowledge, fleet: Fleet) -> Iterator[Visit]:
    """Every node that a car can come to, and every branch that none takes, with no cars.

    Where ways meet, only what holds on all of them is kept, so a branch is never called dead that
    is not. Nodes behind a branch that none takes are not visited.
    """
    roots: dict[str, Tree] = {"": symptom.tree, **symptom.subtrees}
    arriving: dict[str, tuple[Known, int]] = {"": ({}, fleet.every)}
    for root in _in_order(roots):
        if root not in arriving:
            continue
        path: Path = ("subtrees", root) if root else ("tree",)
        waiting = [Visit(path, roots[root], *arriving[root])]
        for visit in waiting:
            yield visit
            if not visit.cars:
                continue
            if isinstance(visit.node, Go):
                _meet(arriving, visit.node.subtree, visit.known, visit.cars)
            elif isinstance(visit.node, Ask):
                waiting.extend(_answered(visit, visit.node, knowledge.checks[visit.node.check]))
            elif isinstance(visit.node, Fork):
                waiting.extend(_forked(visit, visit.node, fleet))


def _in_order(roots: Mapping[str, Tree]) -> list[str]:
    """The roots, each behind all that lead to it; the loader has seen to it that there is an order.

    Depth first with a stack of our own, since chains of subtrees may be longer than calls nest.
    """
    order: list[str] = []
    done: set[str] = set()
    stack = [("", iter(_jumps(roots[""])))]
    while stack:
        root, left = stack[-1]
        following = next((name for name in left if name not in done), None)
        if following is None:
            stack.pop()
            order.append(root)
        else:
            done.add(following)
            stack.append((following, iter(_jumps(roots[following]))))
    return order[::-1]


def asked(symptom: Symptom) -> set[str]:
    """The checks that a tree and its subtrees ask."""
    roots = (symptom.tree, *symptom.subtrees.values())
    return {node.check for root in roots for node in _nodes(root) if isinstance(node, Ask)}


def _jumps(tree: Tree) -> list[str]:
    return [node.subtree for node in _nodes(tree) if isinstance(node, Go)]


def _nodes(tree: Tree) -> list[Tree]:
    nodes = [tree]
    for node in nodes:
        nodes.extend(branches(node).values())
    return nodes


def branches(node: Tree) -> Mapping[str, Tree]:
    """The branches of a node, by answer or part."""
    if isinstance(node, Ask):
        return node.then
    return node.has if isinstance(node, Fork) else {}


def _meet(arriving: dict[str, tuple[Known, int]], root: str, known: Known, cars: int) -> None:
    if root in arriving:
        before, others = arriving[root]
        known = {check: known[check] | before[check] for check in known.keys() & before.keys()}
        cars |= others
    arriving[root] = (known, cars)


def _answered(visit: Visit, node: Ask, check: Check) -> Iterator[Visit]:
    possible = visit.known.get(node.check, frozenset({*check.answers, UNKNOWN}))
    named = frozenset(node.then) - {OTHERWISE, UNKNOWN}
    # Of several answers at once, the first that has a branch decides; "none" stands alone.
    alone = frozenset({check.sound_answer()} if check.kind == "nominal" else ())
    earlier: frozenset[str] = frozenset()
    for answer, branch in node.then.items():
        if answer == OTHERWISE:
            left = possible - named - {UNKNOWN}
        elif answer == UNKNOWN or not check.takes_several() or answer in alone:
            left = possible & {answer}
        elif answer in possible:
            left = possible - earlier - alone - {UNKNOWN}
            earlier |= {answer}
        else:
            left = frozenset()
        known = {**visit.known, node.check: left}
        yield Visit((*visit.path, "then", answer), branch, known, visit.cars if left else 0)


def _forked(visit: Visit, node: Fork, fleet: Fleet) -> Iterator[Visit]:
    left = visit.cars
    for part, branch in node.has.items():
        if part != OTHERWISE:
            here = left & fleet.having(part)
            left &= ~here
            yield Visit((*visit.path, "has", part), branch, visit.known, here)
    if OTHERWISE in node.has:
        yield Visit((*visit.path, "has", OTHERWISE), node.has[OTHERWISE], visit.known, left)
