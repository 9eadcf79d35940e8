"""Each place of a tree once, with every way running forward."""

from __future__ import annotations

from expert.case.walk import walk
from expert.export.places import places
from expert.model import Ask, Fork, Go, Suspect, Symptom
from tests.export.pictures import found
from tests.small import BASIS, LAZY, knowledge


def test_references_are_followed() -> None:
    tree = places(LAZY)
    root = tree.by_path[tree.root]
    assert root.steps["none"] == ("tree", "then", "none")
    changed = tree.by_path[("tree", "then", "none")]
    assert set(changed.steps.values()) == {("subtrees", "hoses")}
    assert tree.by_path[("subtrees", "outer")].steps["dark"] == ("subtrees", "air")


def test_every_way_runs_forward() -> None:
    order = list(places(LAZY).by_path)
    for path, place in places(LAZY).by_path.items():
        assert all(order.index(path) < order.index(step) for step in place.steps.values())


def test_subtrees_that_nothing_reaches_are_no_places() -> None:
    symptom = Symptom(
        title="x",
        what="x",
        danger="none",
        causes={},
        tree=Go("a"),
        subtrees={"a": Go("b"), "b": Suspect(("c",)), "lost": Ask("red-flags", {})},
        basis=BASIS,
    )
    tree = places(symptom)
    assert tree.root == ("subtrees", "b")
    assert list(tree.by_path) == [("subtrees", "b")]


def test_paths_are_those_of_the_walk() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"), ("hose-trace", "matches"))
    parts = {"turbo", "external-gate"}
    visits = walk(knowledge().symptoms["lazy"], case, parts).visits
    tree = places(LAZY)
    assert len(visits) == 5
    assert all(tree.by_path[visit.path].node == visit.node for visit in visits)


def test_a_chain_of_a_thousand_subtrees_is_no_trouble() -> None:
    subtrees = {f"s{k}": Fork({"turbo": Go(f"s{k + 1}")}) for k in range(1000)}
    symptom = Symptom(
        title="x",
        what="x",
        danger="none",
        causes={},
        tree=Go("s0"),
        subtrees={**subtrees, "s1000": Suspect(())},
        basis=BASIS,
    )
    assert len(places(symptom).by_path) == 1001
