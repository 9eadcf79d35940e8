"""The way through a tree that the answers have taken."""

from __future__ import annotations

from expert.case.state import Finding, State
from expert.case.walk import Walk, walk
from expert.model import Suspect
from tests.small import LAZY

OUTER = frozenset({"turbo", "external-gate"})
INNER = frozenset({"turbo", "internal-gate"})


def walked(parts: frozenset[str] = OUTER, aside: tuple[str, ...] = (), **answers: object) -> Walk:
    findings = []
    for check, given in answers.items():
        several = given if isinstance(given, tuple) else (given,)
        findings.append(Finding(check.replace("_", "-"), several, "asked"))
    state = State(findings=tuple(findings), set_aside=frozenset(aside))
    return walk(LAZY, state, parts)


def suspects(way: Walk) -> tuple[str, ...]:
    """The causes at the leaf where the way ends; none elsewhere."""
    end = way.visits[-1].node
    return end.suspect if isinstance(end, Suspect) else ()


def test_a_fresh_case_stands_at_the_first_check() -> None:
    way = walked()
    assert way.pending == "red-flags"
    assert [visit.path for visit in way.visits] == [("tree",)]


def test_known_answers_are_walked_through_without_asking() -> None:
    way = walked(red_flags="none", what_changed="nothing", hose_trace="matches")
    assert way.pending == "lamp"
    assert [(visit.path, visit.branch) for visit in way.visits] == [
        (("tree",), "none"),
        (("tree", "then", "none"), "otherwise"),
        (("subtrees", "hoses"), "matches"),
        (("subtrees", "hoses", "then", "matches"), "external-gate"),
        (("subtrees", "outer"), None),
    ]


def test_a_fork_takes_the_part_that_the_car_has() -> None:
    known = {"red_flags": "none", "what_changed": "nothing", "hose_trace": "matches"}
    assert walked(INNER, **known).pending == "flap"
    neither = walked(frozenset({"turbo"}), **known)
    assert (neither.pending, suspects(neither)) == (None, ())


def test_a_leaf_names_its_suspects() -> None:
    assert suspects(walked(red_flags="knock")) == ("wheel-broken",)


def test_several_flags_take_the_first_branch_that_names_one() -> None:
    way = walked(red_flags="none", what_changed="nothing", hose_trace=("wrong-port", "hose-loose"))
    assert suspects(way) == ("hose-off", "charge-leak")


def test_an_answer_without_a_branch_leaves_the_tree() -> None:
    way = walked(red_flags="none", what_changed="nothing", hose_trace="wrong-port")
    assert (way.pending, suspects(way)) == (None, ())
    assert way.visits[-1].branch is None


def test_an_unknown_answer_takes_its_branch_or_leaves() -> None:
    known = {"red_flags": "none", "what_changed": "nothing", "hose_trace": "matches"}
    assert walked(**known, lamp=()).pending == "smoke"
    assert walked(**known, aside=("lamp",)).pending == "smoke"
    assert walked(red_flags=()).pending is None
