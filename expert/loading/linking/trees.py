"""Trees of symptoms that branch on what is not there, never end, or ask what cannot be done."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from expert.loading.linking.cars import Cars
from expert.loading.linking.context import Context
from expert.loading.reading import quoted, unknown
from expert.model import OTHERWISE, UNKNOWN, Ask, Fork, Go, Suspect, Symptom, Tree

Path = tuple[str, ...]


def check_trees(context: Context) -> set[tuple[str, str]]:
    """Note the mistakes of all trees; the pairs of check and answer that they branch on."""
    named: set[tuple[str, str]] = set()
    whole = not (context.lost("setup") or context.lost("bypass"))
    setups = dict(context.sound("setup", context.setups))
    bypasses = dict(context.sound("bypass", context.bypasses))
    cars = Cars(setups if whole else {}, bypasses)
    for name, symptom in context.symptoms.items():
        trees = _Trees(name, symptom, context)
        for nodes in trees.nodes.values():
            for node in nodes:
                if isinstance(node, Ask):
                    for answer in node.then:
                        named.add((node.check, answer))
                trees.check_node(node)
        if context.is_sound("symptom", name):
            trees.check_ends()
            trees.check_doable(cars)
    return named


def _branches(node: Tree) -> Mapping[str, Tree]:
    if isinstance(node, Ask):
        return node.then
    return node.has if isinstance(node, Fork) else {}


def _nodes(root: Tree) -> list[Tree]:
    """Every node of a tree."""
    nodes = [root]
    for node in nodes:
        nodes.extend(_branches(node).values())
    return nodes


def _paths(node: Tree, path: Path) -> Iterator[tuple[Path, Tree]]:
    """Every node of a tree, each with the path that leads to it."""
    yield path, node
    field = "then" if isinstance(node, Ask) else "has"
    for key, branch in _branches(node).items():
        yield from _paths(branch, (*path, field, key))


class _Trees:
    """The tree of a symptom, called "", and its subtrees by name, each with all its nodes."""

    def __init__(self, name: str, symptom: Symptom, context: Context) -> None:
        self._name = name
        self._context = context
        self._sound = context.is_sound("symptom", name)
        self._roots: Mapping[str, Tree] = {"": symptom.tree, **symptom.subtrees}
        self._subtrees = symptom.subtrees
        self.nodes = {root: _nodes(tree) for root, tree in self._roots.items()}

    def check_node(self, node: Tree) -> None:
        """Note what a node by itself has wrong."""
        if isinstance(node, Ask):
            self._check_ask(node)
        elif isinstance(node, Fork):
            self._check_fork(node)
        elif isinstance(node, Suspect):
            if not node.suspect and self._sound:
                found = "nothing is suspected here; name a cause, or leave the branch out"
                self._at_key(found, node, "suspect")
        elif node.subtree and node.subtree not in self._subtrees:
            self._at_value(unknown("the subtree", node.subtree, self._subtrees), node, "subtree")

    def _check_ask(self, node: Ask) -> None:
        if not node.then and self._sound:
            found = "no branch follows; expected answers with what to do then"
            self._at_key(found, node, "then")
        elif self._context.is_sound("check", node.check):
            answers = self._context.checks[node.check].answers
            for key in node.then:
                if key not in answers and key not in (OTHERWISE, UNKNOWN):
                    what = self._context.answer_of(node.check)
                    self._at_key(unknown(what, key, answers), node, "then", key)
            if OTHERWISE in node.then and node.then.keys() >= answers.keys():
                found = "every answer has a branch of its own, so this one is never taken"
                self._at_key(found, node, "then", OTHERWISE)

    def _check_fork(self, node: Fork) -> None:
        if not node.has and self._sound:
            self._at_key("no branch follows; expected parts with what to do then", node, "has")
        if not self._context.lost("part"):
            parts = self._context.parts
            for key in node.has:
                if key not in parts and key != OTHERWISE:
                    self._at_key(unknown("the part", key, parts), node, "has", key)

    def check_ends(self) -> None:
        """Note subtrees that lead back to themselves and subtrees that nothing leads to."""
        jumps = {
            root: [node for node in nodes if isinstance(node, Go) and node.subtree in self._roots]
            for root, nodes in self.nodes.items()
        }
        # A subtree that seems unused may be one that is misspelt where it is used.
        fits = self._context.fits("symptom", self._name)
        # Depth first with a stack of our own: chains of subtrees may be longer than calls nest.
        done: set[str] = set()
        for root in self._roots:
            if root in done:
                continue
            if root and fits:
                found = f"no tree leads to the subtree {quoted(root)}; use it or delete it"
                self._context.at_key(found, "symptom", self._name, "subtrees", root)
            under_way = {root}
            stack = [(root, iter(jumps[root]))]
            while stack:
                current, left = stack[-1]
                jump = next(left, None)
                if jump is None:
                    stack.pop()
                    under_way.discard(current)
                    done.add(current)
                elif jump.subtree in under_way:
                    found = f"the subtree {quoted(jump.subtree)} leads back to itself"
                    self._at_value(f"the tree never ends: {found}", jump, "subtree")
                elif jump.subtree not in done:
                    under_way.add(jump.subtree)
                    stack.append((jump.subtree, iter(jumps[jump.subtree])))

    def check_doable(self, cars: Cars) -> None:
        """Note checks that a car which comes to them has not the parts for."""
        come: dict[str, int] = {}
        waiting: list[tuple[str, int]] = [("", cars.every)]
        while waiting:
            root, arriving = waiting.pop()
            new = arriving & ~come.get(root, 0)
            if new and root in self._roots:
                come[root] = come.get(root, 0) | new
                waiting.extend(self._leave(self._roots[root], new, cars))

    def _leave(self, root: Tree, arriving: int, cars: Cars) -> Iterator[tuple[str, int]]:
        """The subtrees to which the cars that come to a tree go on."""
        walks = [(root, arriving)]
        for node, here in walks:
            if not here:
                continue
            if isinstance(node, Ask):
                able = self._able(node, here, cars)
                walks.extend([(branch, able) for branch in node.then.values()])
            elif isinstance(node, Fork):
                left = here
                for part, branch in node.has.items():
                    if part != OTHERWISE:
                        walks.append((branch, left & cars.having(part)))
                        left &= ~cars.having(part)
                if OTHERWISE in node.has:
                    walks.append((node.has[OTHERWISE], left))
            elif isinstance(node, Go):
                yield node.subtree, here

    def _able(self, node: Ask, here: int, cars: Cars) -> int:
        """The cars that a check can be done on; a mistake for the others."""
        check = self._context.checks.get(node.check)
        if check is None or not check.needs or not self._context.is_sound("check", node.check):
            return here
        able = here & cars.having_all(check.needs)
        lacking = here & ~able
        if lacking:
            missing = next(part for part in check.needs if lacking & ~cars.having(part))
            car = cars.first(lacking & ~cars.having(missing))
            found = (
                f"{quoted(node.check)} needs the part {quoted(missing)}, which a car with the"
                f" setup {car} does not have; ask it under 'has: {missing}:'"
            )
            self._at_value(found, node, "check")
        return able

    def _at_key(self, message: str, node: Tree, *steps: str) -> None:
        self._context.at_key(message, "symptom", self._name, *self._path(node), *steps)

    def _at_value(self, message: str, node: Tree, *steps: str) -> None:
        self._context.at_value(message, "symptom", self._name, *self._path(node), *steps)

    def _path(self, node: Tree) -> Path:
        """The path to a node, looked up only when there is something to say about it."""
        return next(
            path
            for root, tree in self._roots.items()
            for path, found in _paths(tree, ("subtrees", root) if root else ("tree",))
            if found is node
        )
