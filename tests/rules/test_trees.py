"""What is known at the nodes of trees, against walking them car by car and answer by answer."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st

from expert.loading.linking.cars import Cars
from expert.model import Ask, Fork, Go, Suspect, Symptom, Tree
from expert.rules.trees import asked, branches, visits
from tests import small

KNOWLEDGE = small.knowledge()
CARS = Cars(KNOWLEDGE.setups, KNOWLEDGE.bypasses)
# One that takes several answers, two that do not.
ANSWERS = {
    "hose-trace": [
        {"matches"},
        {"hose-loose"},
        {"wrong-port"},
        {"hose-loose", "wrong-port"},
        set(),
    ],
    "smoke": [{"nowhere"}, {"wisp"}, {"plume"}, set()],
    "shaft": [{"free"}, {"broken"}, set()],
}
PARTS = ["external-gate", "internal-gate"]
END = Suspect(("hose-off",))


def keys(check: str) -> list[str]:
    return [*KNOWLEDGE.checks[check].answers, "otherwise", "unknown"]


def asks(inner: st.SearchStrategy[Tree], checks: Sequence[str]) -> st.SearchStrategy[Tree]:
    return st.sampled_from(checks).flatmap(
        lambda check: st.dictionaries(st.sampled_from(keys(check)), inner, min_size=1).map(
            lambda then: Ask(check, then)
        )
    )


def forks(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    parts = st.sampled_from([*PARTS, "otherwise"])
    return st.dictionaries(parts, inner, min_size=1).map(Fork)


def trees(*names: str, checks: Sequence[str] = tuple(ANSWERS)) -> st.SearchStrategy[Tree]:
    ends = st.sampled_from([END, *(Go(name) for name in names)])
    return st.recursive(ends, lambda inner: asks(inner, checks) | forks(inner), max_leaves=8)


def symptom(tree: Tree, subtrees: dict[str, Tree]) -> Symptom:
    return small.replace(small.LAZY, tree=tree, subtrees=subtrees)


def walked(one: Symptom, answers: dict[str, set[str]], parts: set[str]) -> set[tuple[str, ...]]:
    """The paths of the nodes on the way of one car, as expert.case.walk takes it."""
    path, node, found = ("tree",), one.tree, set()
    while True:
        found.add(path)
        if isinstance(node, Go):
            path, node = ("subtrees", node.subtree), one.subtrees[node.subtree]
            continue
        if isinstance(node, Suspect):
            return found
        if isinstance(node, Ask):
            step, given = "then", answers[node.check]
            named = [key for key in node.then if key in given]
            rest = "otherwise" if given else "unknown"
            branch = named[0] if named else rest
        else:
            step = "has"
            branch = next((part for part in node.has if part in parts), "otherwise")
        if branch not in branches(node):
            return found
        path, node = (*path, step, branch), branches(node)[branch]


@settings(max_examples=150)
@given(trees("one", "two"), trees("two"), trees())
def test_no_branch_that_some_car_takes_is_called_dead(tree: Tree, one: Tree, two: Tree) -> None:
    it = symptom(tree, {"one": one, "two": two})
    found = {visit.path: visit for visit in visits(it, KNOWLEDGE, CARS)}
    for parts in ({"external-gate"}, {"internal-gate"}):
        if not CARS.having(*parts):
            continue
        for choice in product(*ANSWERS.values()):
            for path in walked(it, dict(zip(ANSWERS, choice, strict=True)), parts):
                assert found[path].cars & CARS.having(*parts), path


@settings(max_examples=150)
@given(trees(checks=("smoke", "shaft")))
def test_in_a_tree_without_jumps_every_other_branch_is_dead(tree: Tree) -> None:
    # With one answer at a time; of several, it is not kept which have been given for sure.
    it = symptom(tree, {})
    alive = {
        path
        for parts in ({"external-gate"}, {"internal-gate"})
        if CARS.having(*parts)
        for choice in product(*ANSWERS.values())
        for path in walked(it, dict(zip(ANSWERS, choice, strict=True)), parts)
    }
    assert {visit.path for visit in visits(it, KNOWLEDGE, CARS) if visit.cars} == alive


def test_a_chain_of_subtrees_longer_than_calls_nest() -> None:
    names = [f"s{k}" for k in range(3000)]
    chain: dict[str, Tree] = {name: Go(after) for name, after in pairwise(names)}
    it = symptom(Go("s0"), {**chain, names[-1]: END})
    assert sum(1 for _ in visits(it, KNOWLEDGE, CARS)) == 3001


def test_the_checks_that_a_tree_asks() -> None:
    wanted = {"red-flags", "what-changed", "hose-trace", "lamp", "flap", "smoke", "run"}
    assert asked(small.LAZY) == wanted
