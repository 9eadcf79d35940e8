"""Where two trees part: ``expert/workbench/diff_leaves.py``.

The oracle is ``expert.case.walk.walk``, which the dialogue uses: it is walked by all answers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.case.state import Finding, State
from expert.case.walk import walk
from expert.model import UNKNOWN, Ask, Fork, Go, Knowledge, Suspect, Symptom, Tree
from expert.workbench.diff_leaves import LEFT, NO_ANSWER, LeafChange, leaf_changes
from tests import small

OUTER = frozenset({"turbo", "external-gate"})
INNER = frozenset({"turbo", "internal-gate"})

Told = Mapping[str, str]


def with_lazy(symptom: Symptom) -> Knowledge:
    return small.knowledge(symptoms={"lazy": symptom, "overboost": small.OVERBOOST})


def subtree(name: str, node: Tree) -> Knowledge:
    """The small knowledge with another subtree of its first symptom."""
    return with_lazy(replace(small.LAZY, subtrees={**small.LAZY.subtrees, name: node}))


def parted(new: Knowledge, parts: frozenset[str] = OUTER) -> list[LeafChange]:
    return leaf_changes(small.knowledge(), new, "lazy", parts, parts)


def stands(knowledge: Knowledge, told: Told, parts: frozenset[str]) -> str:
    """What the tree does after these answers, in the words of a change."""
    findings = tuple(
        Finding(check, () if answer == UNKNOWN else (answer,), "asked")
        for check, answer in told.items()
    )
    way = walk(knowledge.symptoms["lazy"], State(findings=findings), parts)
    for visit in way.visits:
        if isinstance(visit.node, Ask) and not knowledge.checks[visit.node.check].fits(parts):
            return LEFT
    if way.pending is not None:
        return f"asks {way.pending}"
    last = way.visits[-1].node
    return f"suspects {', '.join(last.suspect)}" if isinstance(last, Suspect) else LEFT


def test_nothing_parts() -> None:
    assert parted(small.knowledge()) == []
    assert parted(with_lazy(replace(small.LAZY, title="Other words"))) == []


def test_a_leaf_and_its_way() -> None:
    air = small.LAZY.subtrees["air"]
    assert isinstance(air, Ask)
    new = subtree("air", replace(air, then={**air.then, "plume": Suspect(("hose-off",))}))
    (change,) = parted(new)
    assert (change.sort, change.leaves) == ("leaf", 1)
    assert (change.before, change.after) == ("suspects charge-leak", "suspects hose-off")
    assert change.place == ("subtrees", "air", "then", "plume")
    assert change.way == (
        ("red-flags", ("none",)),
        ("what-changed", ("nothing", "earlier", "just-fitted")),
        ("hose-trace", ("matches",)),
        ("lamp", ("dark", "unknown")),
        ("smoke", ("plume",)),
    )


def test_a_check_more_and_a_check_less() -> None:
    air = small.LAZY.subtrees["air"]
    (more,) = parted(subtree("air", Ask("shaft", {"otherwise": air, "unknown": air})))
    assert (more.sort, more.before, more.after) == ("extra", "asks smoke", "asks shaft")
    # Two, by either branch.
    assert more.leaves == 4
    assert isinstance(air, Ask)
    less = parted(subtree("air", air.then["otherwise"]))
    assert [one.sort for one in less] == ["dropped", "leaf", "leaf"]
    assert {one.after for one in less[1:]} == {"asks run"}
    assert {one.before for one in less[1:]} == {"suspects charge-leak", LEFT}


def test_another_check() -> None:
    (change,) = parted(subtree("air", Ask("duty-read", {"zero": Suspect(("hose-off",))})))
    assert (change.sort, change.before, change.after) == ("other", "asks smoke", "asks duty-read")


def test_only_cars_that_come_there() -> None:
    new = subtree("inner", Suspect(("flap-stuck",)))
    assert parted(new, OUTER) == []
    (change,) = parted(new, INNER)
    assert (change.before, change.after) == ("asks flap", "suspects flap-stuck")


def test_a_check_that_no_longer_fits() -> None:
    lamp = replace(small.CHECKS["lamp"], needs=("internal-gate",))
    (change,) = parted(small.knowledge(checks={**small.CHECKS, "lamp": lamp}))
    assert (change.before, change.after) == ("asks lamp", LEFT)


def test_a_new_answer() -> None:
    smoke = small.CHECKS["smoke"]
    answers = {**smoke.answers, "cloud": "A cloud"}
    checks = {**small.CHECKS, "smoke": replace(smoke, answers=answers)}
    (change,) = parted(small.knowledge(checks=checks))
    assert (change.before, change.after) == (NO_ANSWER, "asks run")
    assert change.way[-1] == ("smoke", ("cloud",))


def test_an_answer_that_was_given_already_is_not_given_otherwise() -> None:
    """The branch for a plume is dead behind the branch for a wisp."""
    again = Ask("smoke", {"plume": Suspect(("hose-off",)), "otherwise": Suspect(("charge-leak",))})
    old = subtree("air", Ask("smoke", {"wisp": again, "otherwise": Suspect(("flap-stuck",))}))
    then = {**again.then, "plume": Suspect(("wheel-broken",))}
    dead = subtree(
        "air",
        Ask("smoke", {"wisp": replace(again, then=then), "otherwise": Suspect(("flap-stuck",))}),
    )
    assert leaf_changes(old, dead, "lazy", OUTER, OUTER) == []
    then = {**again.then, "otherwise": Suspect(("wheel-broken",))}
    alive = subtree(
        "air",
        Ask("smoke", {"wisp": replace(again, then=then), "otherwise": Suspect(("flap-stuck",))}),
    )
    (change,) = leaf_changes(old, alive, "lazy", OUTER, OUTER)
    assert change.way[-1] == ("smoke", ("wisp",))


def test_a_contradiction_over_a_shared_place_is_not_told() -> None:
    """Either answer comes to the shared place, but only one of them to its changed branch."""
    checks = {**small.CHECKS, **dict.fromkeys(("one", "two"), small.CHECKS["shaft"])}

    def tree(last: str) -> Symptom:
        end = Ask("one", {"broken": Suspect((last,)), "otherwise": Suspect(("flap-stuck",))})
        return replace(
            small.LAZY,
            tree=Ask("one", {"free": Go("mid"), "broken": Suspect(("hose-off",)), "unknown": end}),
            subtrees={"mid": Ask("two", {"otherwise": Go("end")}), "end": end},
        )

    known = [
        replace(with_lazy(tree(last)), checks=checks) for last in ("charge-leak", "wheel-broken")
    ]
    assert leaf_changes(known[0], known[1], "lazy", OUTER, OUTER) == []


def test_a_chain_longer_than_calls_can_nest() -> None:
    def chained(last: str) -> Knowledge:
        length = 1500
        checks = {f"c{k}": small.CHECKS["shaft"] for k in range(length)}
        subtrees: dict[str, Tree] = {
            f"s{k}": Ask(f"c{k}", {"otherwise": Go(f"s{k + 1}")}) for k in range(length)
        }
        subtrees[f"s{length}"] = Suspect((last,))
        symptom = replace(small.LAZY, tree=Go("s0"), subtrees=subtrees)
        return replace(with_lazy(symptom), checks=checks)

    one, other = chained("charge-leak"), chained("hose-off")
    (change,) = leaf_changes(one, other, "lazy", OUTER, OUTER)
    assert len(change.way) == 1500


CHECKS = ("smoke", "shaft", "flap", "duty-read")
LEAVES = [Suspect(("charge-leak",)), Suspect(("hose-off",)), Suspect(("flap-stuck", "hose-off"))]


def nodes(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    def asks(check: str) -> st.SearchStrategy[Tree]:
        keys = [*small.CHECKS[check].answers, "otherwise", "unknown"]
        then = st.dictionaries(st.sampled_from(keys), inner, min_size=1, max_size=3)
        return then.map(lambda branches: Ask(check, branches))

    forks = st.tuples(inner, inner).map(
        lambda pair: Fork({"internal-gate": pair[0], "otherwise": pair[1]})
    )
    return st.sampled_from(CHECKS).flatmap(asks) | forks


# Subtrees are only referred to from those before them, so that every tree ends.
LOW: st.SearchStrategy[Tree] = st.recursive(st.sampled_from(LEAVES), nodes, max_leaves=4)
HIGH = st.recursive(st.sampled_from([*LEAVES, Go("low"), Go("low")]), nodes, max_leaves=6)
SYMPTOMS = st.builds(
    lambda tree, low: replace(small.LAZY, tree=tree, subtrees={"low": low}), HIGH, LOW
)


def all_answers() -> Iterator[dict[str, str]]:
    choices = [[*small.CHECKS[check].answers, UNKNOWN] for check in CHECKS]
    return (dict(zip(CHECKS, chosen, strict=True)) for chosen in product(*choices))


def first_parting(
    old: Knowledge, new: Knowledge, answers: Told, parts: frozenset[str]
) -> tuple[str, str] | None:
    """What both trees do where they part first when all is answered so; None where they do not."""
    told: dict[str, str] = {}
    while True:
        before, after = stands(old, told, parts), stands(new, told, parts)
        if before != after:
            return before, after
        if not before.startswith("asks "):
            return None
        check = before.removeprefix("asks ")
        told[check] = answers[check]


@settings(deadline=None, max_examples=150)
@given(SYMPTOMS, SYMPTOMS, st.sampled_from([OUTER, INNER]))
def test_what_is_told_is_what_the_dialogue_does(
    one: Symptom, other: Symptom, parts: frozenset[str]
) -> None:
    old, new = with_lazy(one), with_lazy(other)
    found = leaf_changes(old, new, "lazy", parts, parts)
    # Every way leads, by any of its answers, to where both trees do what is told.
    for change in found:
        for answers in product(*(answers for _, answers in change.way)):
            told = dict(zip((check for check, _ in change.way), answers, strict=True))
            assert stands(old, told, parts) == change.before
            assert stands(new, told, parts) == change.after
    # And wherever they part first, it is told.
    ends = {(change.before, change.after) for change in found}
    parting = {first_parting(old, new, answers, parts) for answers in all_answers()} - {None}
    assert parting <= ends
    assert bool(found) == bool(parting)


@pytest.mark.parametrize("parts", [OUTER, INNER])
def test_the_same_tree_written_otherwise(parts: frozenset[str]) -> None:
    """A subtree in place of a reference to it, and a branch for every answer."""
    hoses = small.LAZY.subtrees["hoses"]
    tree = Ask(
        "red-flags",
        {
            "none": Ask(
                "what-changed",
                dict.fromkeys(small.CHECKS["what-changed"].answers, hoses),
            ),
            "otherwise": Suspect(("wheel-broken",)),
        },
    )
    assert parted(with_lazy(replace(small.LAZY, tree=tree)), parts) == []
