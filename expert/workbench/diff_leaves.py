"""Where the trees of a symptom come to other ends, or come to them another way.

Both trees are walked side by side by the same answers. A place that many ways lead to is looked at
once, and told by one short way on which no answer contradicts another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter
from typing import Final, Literal, NamedTuple

from expert.case.walk import Path, fork_branch
from expert.model import OTHERWISE, UNKNOWN, Ask, Fork, Go, Knowledge, Suspect, Symptom, Tree

# Answers that lead the same way are told together.
Answered = tuple[str, tuple[str, ...]]
Way = tuple[Answered, ...]
Sort = Literal["leaf", "other", "extra", "dropped"]

Key = tuple[Path, Path]
Known = Mapping[str, frozenset[str]]

# Steps of the search for one way to one place.
MOST_TRIED: Final = 2_000
NO_ANSWER: Final = "has no such answer"
LEFT: Final = "leaves the tree"


@dataclass(frozen=True, slots=True)
class LeafChange:
    """One place where the trees part, after the answers of ``way``.

    ``before`` and ``after`` say what each tree does there. The sort is "leaf" where a leaf changes,
    "other" for another check, "extra" and "dropped" for one that is asked besides, or no longer.
    ``place`` is where the new tree stands, or None where it has no node there; ``leaves`` counts
    the leaves below it in the new tree, or in the old one, that are reached another way.
    """

    symptom: str
    way: Way
    sort: Sort
    before: str
    after: str
    place: Path | None
    leaves: int


class _Spot(NamedTuple):
    """A place of one tree for one car; without a node where the tree ends or was left."""

    path: Path
    node: Ask | Suspect | None
    words: str = LEFT


class _Car:
    """One symptom's tree as a car with certain parts walks it.

    ``interned`` gives equal numbers to places from which the same happens whatever is answered; it
    is shared by the trees that are compared.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        symptom: Symptom,
        parts: frozenset[str],
        interned: dict[object, int],
    ) -> None:
        self._checks = knowledge.checks
        self._symptom = symptom
        self._parts = parts
        self._below: dict[Path, frozenset[str]] = {}
        self._ends: dict[Path, frozenset[Path]] = {}
        self._number: dict[Path, int] = {}
        self._before: dict[Path, frozenset[str]] = {}
        self.root = self.landing(("tree",), symptom.tree)
        # Deepest first, and not by calls, which a long chain of checks would nest too deep.
        places = list(self._deepest_first())
        for spot, branches in reversed(places):
            before = self._before.setdefault(spot.path, frozenset())
            for _, one in branches:
                asked = self._before.get(one.path, frozenset()) | before
                self._before[one.path] = asked | _check_of(spot)
        for spot, branches in places:
            inner = [one.path for _, one in branches]
            below = _check_of(spot)
            ends = frozenset({spot.path}) if isinstance(spot.node, Suspect) else frozenset[Path]()
            self._below[spot.path] = below.union(*(self._below[path] for path in inner))
            self._ends[spot.path] = ends.union(*(self._ends[path] for path in inner))
            onward = tuple((answer, self._number[one.path]) for answer, one in branches)
            meaning = (_words(spot), onward)
            self._number[spot.path] = interned.setdefault(meaning, len(interned))

    def _deepest_first(self) -> Iterator[tuple[_Spot, list[tuple[str, _Spot]]]]:
        """Every place with its branches, after all places that the branches lead to."""
        branches: dict[Path, list[tuple[str, _Spot]]] = {}
        spots = {self.root.path: self.root}
        todo = [self.root]
        while todo:
            spot = todo.pop()
            if spot.path not in branches:
                branches[spot.path] = list(self.branches(spot))
                for _, one in branches[spot.path]:
                    spots[one.path] = one
                    todo.append(one)
        order = {path: [one.path for _, one in inner] for path, inner in branches.items()}
        for path in TopologicalSorter(order).static_order():
            yield spots[path], branches[path]

    def landing(self, path: Path, node: Tree) -> _Spot:
        """Where a branch ends up for this car: at a check that fits it, a leaf, or nowhere."""
        while True:
            if isinstance(node, Go):
                path, node = ("subtrees", node.subtree), self._symptom.subtrees[node.subtree]
            elif isinstance(node, Fork):
                branch = fork_branch(node, self._parts)
                if branch is None:
                    return _Spot(path, None)
                path, node = (*path, "has", branch), node.has[branch]
            elif isinstance(node, Ask) and not self._checks[node.check].fits(self._parts):
                return _Spot(path, None)
            else:
                return _Spot(path, node)

    def answers(self, check: str) -> list[str]:
        """What the check may be answered, the unknown included."""
        return [*self._checks[check].answers, UNKNOWN]

    def onward(self, spot: _Spot, answer: str) -> _Spot:
        """Where an answer leads from a check."""
        assert isinstance(spot.node, Ask)
        then = spot.node.then
        if answer != UNKNOWN and answer not in self._checks[spot.node.check].answers:
            return _Spot((*spot.path, answer), None, NO_ANSWER)
        key = answer if answer in then or answer == UNKNOWN else OTHERWISE
        if key not in then:
            return _Spot((*spot.path, "then", key), None)
        return self.landing((*spot.path, "then", key), then[key])

    def branches(self, spot: _Spot) -> Iterator[tuple[str, _Spot]]:
        """Every answer and where it leads; nothing at the end of a tree."""
        if isinstance(spot.node, Ask):
            for answer in self.answers(spot.node.check):
                yield answer, self.onward(spot, answer)

    def number(self, spot: _Spot) -> int | None:
        """Equal for places from which the same happens; None for an answer that is not there."""
        return self._number.get(spot.path)

    def checks_below(self, spot: _Spot) -> frozenset[str]:
        """The checks that may be asked from here on."""
        return self._below.get(spot.path, frozenset())

    def asked_before(self, spot: _Spot) -> frozenset[str]:
        """The checks that some way here has asked."""
        return self._before.get(spot.path, frozenset())

    def leaves_below(self, spot: _Spot) -> frozenset[Path]:
        """The leaves that can be come to from here."""
        return self._ends.get(spot.path, frozenset())


class _Pair(NamedTuple):
    """A place in the old tree and one in the new, come to by the same answers."""

    old: _Spot
    new: _Spot


class _Step(NamedTuple):
    """From one pair to another by answers of a check; both are their paths.

    A silent step is for those who were asked the check before: it is not asked again.
    """

    source: Key
    check: str
    answers: tuple[str, ...]
    target: Key
    silent: bool


class _Back(NamedTuple):
    """A way searched from its end: where it has come to, and what it asks of what comes before.

    The answers that each check is limited to, and the checks that must have been asked.
    """

    key: Key
    limits: Known
    owed: frozenset[str]
    steps: tuple[_Step, ...]


def leaf_changes(
    old: Knowledge, new: Knowledge, symptom: str, before: frozenset[str], after: frozenset[str]
) -> list[LeafChange]:
    """All that differs between the two trees of a symptom for a car with these parts.

    The symptom is on both sides. Raises nothing: a tree that loads ends, whatever is answered.
    """
    interned: dict[object, int] = {}
    one = _Car(old, old.symptoms[symptom], before, interned)
    other = _Car(new, new.symptoms[symptom], after, interned)
    return _Comparison(symptom, one, other).run()


class _Comparison:
    def __init__(self, symptom: str, old: _Car, new: _Car) -> None:
        self._symptom = symptom
        self._old = old
        self._new = new
        self._pairs: dict[Key, _Pair] = {}
        self._steps: dict[Key, list[_Step]] = {}
        self._into: dict[Key, list[_Step]] = {}

    def run(self) -> list[LeafChange]:
        """Every pair whose trees part there and that some consistent answers come to."""
        root = self._met(_Pair(self._old.root, self._new.root))
        if root is None:
            return []
        order = self._spread(root)
        alive = self._alive(root, order)
        depth = self._depths(root, order)
        found = []
        for key in sorted(alive, key=lambda key: depth[key]):
            sort = self._sort(self._pairs[key])
            way = None if sort is None else self._way(root, key, alive, depth)
            if sort is not None and way is not None:
                found.append(self._change(self._pairs[key], way, sort))
        return found

    def _met(self, pair: _Pair) -> Key | None:
        """The key of a pair, or None where both trees do the same from there on."""
        if self._is_same(pair.old, pair.new):
            return None
        key = (pair.old.path, pair.new.path)
        self._pairs.setdefault(key, pair)
        return key

    def _spread(self, root: Key) -> list[Key]:
        """Make the steps out of every pair; the pairs in an order in which all steps lead on."""
        after: dict[Key, list[Key]] = {}
        todo = [root]
        while todo:
            key = todo.pop()
            if key in after:
                continue
            self._steps[key] = list(self._onward(key))
            after[key] = [step.target for step in self._steps[key]]
            todo += after[key]
            for step in self._steps[key]:
                self._into.setdefault(step.target, []).append(step)
        return list(TopologicalSorter(after).static_order())[::-1]

    def _onward(self, key: Key) -> Iterator[_Step]:
        pair = self._pairs[key]
        old, new = pair.old.node, pair.new.node
        sort = self._sort(pair)
        if sort is None and isinstance(old, Ask):
            yield from self._steps_by(key, old.check, on_old=True, on_new=True)
            return
        before = self._old.asked_before(pair.old) | self._new.asked_before(pair.new)
        if isinstance(new, Ask) and (sort == "extra" or new.check in before):
            yield from self._steps_by(key, new.check, on_new=True, silent=sort != "extra")
        if isinstance(old, Ask) and (sort == "dropped" or old.check in before):
            yield from self._steps_by(key, old.check, on_old=True, silent=sort != "dropped")

    def _steps_by(
        self,
        key: Key,
        check: str,
        on_old: bool = False,
        on_new: bool = False,
        silent: bool = False,
    ) -> Iterator[_Step]:
        """The steps by the answers of a check, where it stands in one tree or in both."""
        pair = self._pairs[key]
        answers: list[str] = [*(self._old.answers(check) if on_old else ())]
        if on_new:
            answers += [one for one in self._new.answers(check) if one not in answers]
        groups: dict[Key, list[str]] = {}
        for answer in answers:
            old = self._old.onward(pair.old, answer) if on_old else pair.old
            new = self._new.onward(pair.new, answer) if on_new else pair.new
            target = self._met(_Pair(old, new))
            if target is not None:
                groups.setdefault(target, []).append(answer)
        for target, same in groups.items():
            yield _Step(key, check, tuple(same), target, silent)

    def _sort(self, pair: _Pair) -> Sort | None:
        """How the trees part here; None where both ask the same check."""
        old, new = pair.old.node, pair.new.node
        if not (isinstance(old, Ask) and isinstance(new, Ask)):
            return "leaf"
        if old.check == new.check:
            return None
        if any(self._is_same(pair.old, one) for _, one in self._new.branches(pair.new)):
            return "extra"
        if any(self._is_same(one, pair.new) for _, one in self._old.branches(pair.old)):
            return "dropped"
        extra = old.check in self._new.checks_below(pair.new)
        dropped = new.check in self._old.checks_below(pair.old)
        if extra == dropped:
            return "other"
        return "extra" if extra else "dropped"

    def _alive(self, root: Key, order: Sequence[Key]) -> dict[Key, Known]:
        """The pairs that can be come to, with what every way there has in common.

        A check that was asked on every way is not asked again, so its answers are those given.
        """
        known: dict[Key, Known] = {root: {}}
        for key in order:
            if key in known:
                for step in self._steps[key]:
                    given = known[key].get(step.check)
                    answers = frozenset(step.answers)
                    told = answers if given is None else answers & given
                    if told:
                        here = {**known[key], step.check: told}
                        before = known.get(step.target)
                        known[step.target] = here if before is None else _common(before, here)
        return known

    def _depths(self, root: Key, order: Sequence[Key]) -> dict[Key, int]:
        """The fewest steps to every pair."""
        depth = {root: 0}
        for key in order:
            for step in self._steps[key]:
                depth[step.target] = min(depth.get(step.target, len(order)), depth[key] + 1)
        return depth

    def _way(
        self, root: Key, goal: Key, alive: Mapping[Key, Known], depth: Mapping[Key, int]
    ) -> Way | None:
        """One short way without answers that contradict each other, or None without any.

        On it no check is asked that one of the trees asks at its end. The search is given up
        after many steps; then the shortest way stands for it.
        """
        pair = self._pairs[goal]
        ends = {spot.node.check for spot in pair if isinstance(spot.node, Ask)}
        if ends & alive[goal].keys():
            return None
        todo = [_Back(goal, {}, frozenset(), ())]
        for _ in range(MOST_TRIED + 2 * depth[goal]):
            if not todo:
                return None
            key, limits, owed, steps = todo.pop()
            if key == root and not owed:
                return _told(steps, limits)
            sources = [step for step in self._into.get(key, ()) if step.source in alive]
            for step in sorted(sources, key=lambda one: -depth[one.source]):
                limit = limits.get(step.check)
                answers = frozenset(step.answers)
                left = answers if limit is None else answers & limit
                if left and step.check not in ends:
                    still = owed | {step.check} if step.silent else owed - {step.check}
                    narrower = {**limits, step.check: left}
                    todo.append(_Back(step.source, narrower, still, (step, *steps)))
        return self._shortest(root, goal, alive, depth)

    def _shortest(
        self, root: Key, goal: Key, alive: Mapping[Key, Known], depth: Mapping[Key, int]
    ) -> Way:
        """The shortest way to a pair, whether or not its answers go together."""
        way: list[Answered] = []
        key = goal
        while key != root:
            sources = (step for step in self._into[key] if step.source in alive)
            step = min(sources, key=lambda one: depth[one.source])
            way.insert(0, (step.check, step.answers))
            key = step.source
        return tuple(way)

    def _is_same(self, old: _Spot, new: _Spot) -> bool:
        """Do both trees do the same from here on, whatever is answered?"""
        return self._old.number(old) == self._new.number(new)

    def _change(self, pair: _Pair, way: Way, sort: Sort) -> LeafChange:
        below = self._new.leaves_below(pair.new) or self._old.leaves_below(pair.old)
        return LeafChange(
            self._symptom,
            way,
            sort,
            _words(pair.old),
            _words(pair.new),
            None if pair.new.words == NO_ANSWER else pair.new.path,
            len(below),
        )


def _check_of(spot: _Spot) -> frozenset[str]:
    return frozenset({spot.node.check}) if isinstance(spot.node, Ask) else frozenset()


def _common(one: Known, other: Known) -> Known:
    """What is known by either: the answers of both for the checks that both have asked."""
    return {check: answers | other[check] for check, answers in one.items() if check in other}


def _told(steps: Sequence[_Step], limits: Known) -> Way:
    """Every check of a way once, with the answers that lead all the way, in their order."""
    way = {}
    for step in steps:
        if step.check not in way:
            way[step.check] = tuple(one for one in step.answers if one in limits[step.check])
    return tuple(way.items())


def _words(spot: _Spot) -> str:
    match spot.node:
        case Ask(check):
            return f"asks {check}"
        case Suspect(suspect):
            return f"suspects {', '.join(suspect)}"
    return spot.words
