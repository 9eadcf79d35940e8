"""What is like a new entry: causes, checks and places in the trees worth a thought. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from expert.model import (
    OTHERWISE,
    Ask,
    Cause,
    Check,
    Fork,
    Knowledge,
    Suspect,
    Symptom,
    Tree,
)

# A part in common says most, then a complaint, then an area of work.
_PART, _SYMPTOM, _WORK = 3.0, 2.0, 1.0


@dataclass(frozen=True, slots=True)
class Likeness:
    """What a new cause is looked up by."""

    needs: tuple[str, ...] = ()
    work: tuple[str, ...] = ()
    symptoms: tuple[str, ...] = ()


class Leaf(NamedTuple):
    """A ``suspect:`` list of a tree: its name, the keys that lead to it, and its causes."""

    name: str
    path: tuple[str, ...]
    causes: tuple[str, ...]


@lru_cache(8)
def _cars(
    layouts: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...],
) -> tuple[frozenset[str], ...]:
    return tuple(
        frozenset((*parts, *([gate] if gate else ())))
        for parts, gates in layouts
        for gate in (gates or ("",))
    )


def cars(knowledge: Knowledge) -> tuple[frozenset[str], ...]:
    """The parts of every car that the knowledge can describe."""
    setups = _cars(tuple((one.parts, one.gates) for one in knowledge.setups.values()))
    bypasses = [frozenset[str](), *(frozenset(one.parts) for one in knowledge.bypasses.values())]
    return tuple(car | bypass for car, bypass in product(setups, bypasses))


def together(knowledge: Knowledge, *needs: Collection[str]) -> bool:
    """Is there a car with all these parts?"""
    wanted = frozenset(part for some in needs for part in some)
    return any(wanted <= car for car in cars(knowledge))


def likeness(knowledge: Knowledge, new: Likeness) -> dict[str, float]:
    """How much each cause is like the new one; only those that are at all, the most like first."""
    scores = {}
    for name, cause in knowledge.causes.items():
        symptoms = sum(name in knowledge.symptoms[one].causes for one in new.symptoms)
        score = (
            _PART * _common(cause.needs, new.needs)
            + _SYMPTOM * symptoms
            + _WORK * _common(cause.work, new.work)
        )
        if score and together(knowledge, cause.needs, new.needs):
            scores[name] = score
    return dict(sorted(scores.items(), key=lambda item: -item[1]))


def plausible_checks(knowledge: Knowledge, new: Likeness) -> list[str]:
    """The checks that the new cause might answer differently, the likeliest first.

    A check is plausible when it asks for a part that the cause needs, or when a cause with a part
    or a complaint in common shows one of its answers; and when a car can have both.
    """
    alike = likeness(knowledge, Likeness(new.needs, (), new.symptoms))
    weights = likeness(knowledge, new)
    scores = {}
    for name, check in knowledge.checks.items():
        if check.kind == "history" or not together(knowledge, check.needs, new.needs):
            continue
        shown = [weights[cause] for cause in check.given if cause in alike]
        shared = _common(check.needs, new.needs)
        if shown or shared:
            scores[name] = 4 * _PART * shared + sum(shown) / (1 + len(check.given))
    return sorted(scores, key=lambda name: -scores[name])


def plausible_causes(knowledge: Knowledge, needs: Collection[str]) -> list[str]:
    """The causes that a new check with these needs might show, the likeliest first."""
    fitting = [
        name for name, cause in knowledge.causes.items() if together(knowledge, cause.needs, needs)
    ]
    return sorted(fitting, key=lambda name: -_common(knowledge.causes[name].needs, needs))


def leaves(knowledge: Knowledge, symptom: str) -> list[Leaf]:
    """Every place of a symptom's tree that suspects causes, in the order of the file."""
    entry = knowledge.symptoms[symptom]
    found = list(_leaves(entry.tree, ("tree",), "tree"))
    for name, subtree in entry.subtrees.items():
        found += _leaves(subtree, ("subtrees", name), name)
    return found


def leaves_for(knowledge: Knowledge, symptom: str, new: Likeness) -> list[Leaf]:
    """The places that a car with the new cause can come to, those with look-alikes first."""
    weights = likeness(knowledge, new)
    reached: set[str] = set()
    for car in cars(knowledge):
        if car.issuperset(new.needs):
            reached |= _reached(knowledge.symptoms[symptom], car)

    def score(leaf: Leaf) -> float:
        # The first suspect says most about a place.
        return sum(weights.get(cause, 0.0) / (1 + k) for k, cause in enumerate(leaf.causes))

    possible = [leaf for leaf in leaves(knowledge, symptom) if leaf.name in reached]
    return sorted(possible, key=lambda leaf: -score(leaf))


def stations(
    knowledge: Knowledge, symptom: str, needs: Collection[str], causes: Collection[str]
) -> dict[str, str]:
    """The subtrees in front of which a check can be asked, and what each asks now.

    Every car that comes there has the parts. Those come first that suspect the causes which the
    check finds, or causes like them.
    """
    entry = knowledge.symptoms[symptom]
    missing: set[str] = set()
    for car in cars(knowledge):
        if not car.issuperset(needs):
            missing |= _reached(entry, car)
    possible = {
        name: node.check
        for name, node in entry.subtrees.items()
        if isinstance(node, Ask) and name not in missing
    }

    weights: dict[str, float] = {}
    for found in (knowledge.causes[name] for name in causes):
        for name, weight in likeness(
            knowledge, Likeness(found.needs, found.work, (symptom,))
        ).items():
            weights[name] = max(weight, weights.get(name, 0.0))
    weights |= dict.fromkeys(causes, 4 * _PART)

    def mentioned(name: str) -> float:
        own = list(_leaves(entry.subtrees[name], (), name))
        return sum(weights.get(cause, 0.0) for leaf in own for cause in leaf.causes)

    first = sorted(possible, key=lambda name: -mentioned(name))
    return {name: f"Now asked there: {knowledge.checks[possible[name]].ask}" for name in first}


def _reached(symptom: Symptom, car: frozenset[str]) -> set[str]:
    """The names of the leaves and subtrees that a car with these parts can come to."""
    found: set[str] = set()
    subtrees: set[str] = set()
    waiting: list[tuple[str, Tree]] = [("tree", symptom.tree)]
    while waiting:
        name, node = waiting.pop()
        if isinstance(node, Suspect):
            found.add(name)
        elif isinstance(node, Ask):
            waiting += [(f"{name}/{answer}", branch) for answer, branch in node.then.items()]
        elif isinstance(node, Fork):
            way = next((part for part in node.has if part in car or part == OTHERWISE), None)
            waiting += [(f"{name}/{way}", node.has[way])] if way else []
        elif node.subtree not in subtrees:
            subtrees.add(node.subtree)
            waiting.append((node.subtree, symptom.subtrees[node.subtree]))
    return found | subtrees


def _leaves(node: Tree, path: tuple[str, ...], name: str) -> Iterator[Leaf]:
    if isinstance(node, Suspect):
        yield Leaf(name, (*path, "suspect"), node.suspect)
    elif isinstance(node, Ask):
        for answer, branch in node.then.items():
            yield from _leaves(branch, (*path, "then", answer), f"{name}/{answer}")
    elif isinstance(node, Fork):
        for part, branch in node.has.items():
            yield from _leaves(branch, (*path, "has", part), f"{name}/{part}")


def _common(some: Collection[str], others: Collection[str]) -> int:
    return len(set(some) & set(others))


def titles(causes: Mapping[str, Cause]) -> dict[str, str]:
    """What each cause is, for a list."""
    return {name: cause.title for name, cause in causes.items()}


def questions(checks: Mapping[str, Check]) -> dict[str, str]:
    """What each check asks, for a list."""
    return {name: check.ask for name, check in checks.items()}
