"""The outline of a tree: what is drawn, and that its chances are those of the consultant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import cycle

import pytest

from expert.case.consult import Consultant
from expert.case.state import State
from expert.case.walk import Path
from expert.errors import UsageError
from expert.export.cars import cars_for
from expert.export.outline import Branch, CheckSpot, ForkSpot, Leaf, Outline
from expert.export.sketch import NONE_OF_THESE, sketch
from expert.model import Ask, Fork, Go, Knowledge, Seen, Suspect, Tree
from tests.export.pictures import found
from tests.small import CAUSES, LAZY, knowledge

OUTER = State(setup="outer", bypass="none")
INNER = State(setup="inner", bypass="none")


def outline(
    *cars: State, tree: Tree | None = None, case: State | None = None, **subtrees: Tree
) -> Outline:
    book = knowledge()
    if tree is not None:
        symptom = replace(LAZY, tree=tree, subtrees=subtrees)
        book = replace(book, symptoms={"lazy": symptom})
    return sketch(Consultant(book), "lazy", cars, case)


def check_spots(found: Outline) -> dict[str, CheckSpot]:
    return {spot.check: spot for spot in found.spots.values() if isinstance(spot, CheckSpot)}


def branches(found: Outline) -> Iterator[Branch]:
    for spot in found.spots.values():
        yield from spot.branches


def leaves(found: Outline, check: str) -> list[Leaf]:
    targets = [branch.target for branch in check_spots(found)[check].branches]
    return [target for target in targets if isinstance(target, Leaf)]


def test_an_unknown_symptom_names_the_nearest() -> None:
    with pytest.raises(UsageError, match="Did you mean lazy"):
        sketch(Consultant(knowledge()), "lasy", [OUTER])


def test_a_fork_that_the_car_decides_is_not_drawn() -> None:
    found = outline(OUTER)
    assert "lamp" in check_spots(found)
    assert "flap" not in check_spots(found)
    assert not any(isinstance(spot, ForkSpot) for spot in found.spots.values())


def test_a_fork_stays_while_the_cars_differ() -> None:
    found = outline(OUTER, INNER)
    assert {"lamp", "flap"} <= set(check_spots(found))
    (fork,) = (spot for spot in found.spots.values() if isinstance(spot, ForkSpot))
    assert fork.parts == ("external-gate", "internal-gate")
    assert [lane.words for branch in fork.branches for lane in branch.lanes] == [
        ("outer gate",),
        ("inner gate",),
    ]


def test_a_fork_on_one_part_says_what_is_not_there() -> None:
    tree = Fork({"internal-gate": Suspect(("flap-stuck",)), "otherwise": Suspect(("charge-leak",))})
    (fork,) = outline(OUTER, INNER, tree=tree).spots.values()
    assert [lane.words for branch in fork.branches for lane in branch.lanes] == [
        ("inner gate",),
        ("no inner gate",),
    ]


def test_a_fork_without_a_branch_for_a_car_leaves_the_tree() -> None:
    tree = Fork({"soft-bypass": Suspect(("charge-leak",))})
    (fork,) = outline(OUTER, replace(INNER, bypass="soft"), tree=tree).spots.values()
    assert fork.branches[1].target is None
    assert fork.branches[1].lanes[0].words == ("no bypass valve",)
    several = Fork({"soft-bypass": Suspect(()), "inner-gate": Suspect(())})
    book = knowledge()
    parts = {**book.parts, "inner-gate": book.parts["internal-gate"]}
    symptom = replace(LAZY, tree=several, subtrees={})
    book = replace(book, parts=parts, symptoms={"lazy": symptom})
    cars = [OUTER, replace(INNER, bypass="soft")]
    (fork,) = sketch(Consultant(book), "lazy", cars).spots.values()
    assert fork.branches[1].lanes[0].words == (NONE_OF_THESE,)


def test_branches_to_one_place_are_one_branch_with_a_lane_for_each_danger() -> None:
    tree = Ask("red-flags", {"none": Go("on"), "otherwise": Go("on"), "unknown": Go("on")})
    found = outline(OUTER, tree=tree, on=Ask("smoke", {"otherwise": Suspect(("charge-leak",))}))
    (branch,) = found.spots[("tree",)].branches
    assert branch.target == ("subtrees", "on")
    assert [lane.danger for lane in branch.lanes] == ["none", "stop"]
    assert branch.lanes[0].words == ("Nothing", "not known")
    assert not found.shared


def test_leaves_with_the_same_suspects_are_one() -> None:
    tree = Ask("smoke", {"plume": Suspect(("charge-leak",)), "unknown": Suspect(("charge-leak",))})
    first, second = outline(OUTER, tree=tree).spots[("tree",)].branches
    assert first.target is None
    assert second.lanes[0].words == ("A plume", "not known")


def test_a_place_with_several_ways_in_is_shared() -> None:
    assert outline(OUTER, INNER).shared == (("subtrees", "air"),)
    assert outline(OUTER).shared == ()


def test_a_leaf_says_what_the_consultant_says() -> None:
    (leaf,) = leaves(outline(OUTER), "lamp")
    answers = (
        ("red-flags", "none"),
        ("what-changed", None),
        ("hose-trace", "matches"),
        ("lamp", "ring"),
    )
    # The tree goes on after any history, so that it stays open.
    expected = Consultant(knowledge()).consult(replace(found(*answers), bypass="none"))
    (suspicion,) = leaf.suspects
    assert suspicion.cause == "ring-missing"
    assert suspicion.low == suspicion.high == pytest.approx(expected.chance("ring-missing"))
    assert leaf.drive == expected.verdict.drive


def test_cars_that_differ_give_a_range() -> None:
    book = knowledge()
    tree = Ask("smoke", {"plume": Suspect(("charge-leak",)), "otherwise": Suspect(())})
    symptom = replace(LAZY, tree=tree, subtrees={})
    rare = replace(CAUSES["flap-stuck"], seen=Seen(just_fitted="rare", settled="rare"))
    causes = {**CAUSES, "flap-stuck": rare}
    book = replace(book, symptoms={"lazy": symptom}, causes=causes)
    drawn = sketch(Consultant(book), "lazy", [OUTER, INNER])
    chances = []
    for setup in ("outer", "inner"):
        case = State(setup=setup, symptoms=("lazy",))
        answered = replace(case, findings=found(("smoke", "plume")).findings)
        chances.append(Consultant(book).consult(answered).chance("charge-leak"))
    (leaf,) = (leaf for leaf in leaves(drawn, "smoke") if leaf.suspects)
    assert leaf.suspects[0].low == pytest.approx(min(chances))
    assert leaf.suspects[0].high == pytest.approx(max(chances))
    assert leaf.suspects[0].low < leaf.suspects[0].high


def test_suspects_that_no_car_can_have_are_left_out() -> None:
    tree = Ask("smoke", {"otherwise": Suspect(("flap-stuck", "charge-leak"))})
    (leaf,) = leaves(outline(OUTER, tree=tree), "smoke")
    assert [item.cause for item in leaf.suspects] == ["charge-leak"]


def test_a_stop_answer_gives_a_stop_leaf() -> None:
    (leaf,) = leaves(outline(OUTER), "red-flags")
    assert leaf.drive == "stop"


def test_answers_that_leave_the_tree_are_drawn_so() -> None:
    last = check_spots(outline(OUTER))["hose-trace"].branches[-1]
    assert last.target is None
    assert last.lanes[0].words == ("A wrong port",)


def test_what_is_asked_again_is_known() -> None:
    tree = Ask("smoke", {"otherwise": Ask("shaft", {"free": Ask("smoke", {"plume": Suspect(())})})})
    drawn = outline(OUTER, tree=tree)
    assert not drawn.spots[("tree",)].known  # type: ignore[union-attr]
    again = drawn.spots[("tree", "then", "otherwise", "then", "free")]
    assert isinstance(again, CheckSpot)
    assert again.known


def test_what_only_one_way_asks_is_not_known() -> None:
    tree = Ask("shaft", {"free": Ask("smoke", {"otherwise": Go("end")}), "broken": Go("end")})
    drawn = outline(OUTER, tree=tree, end=Ask("smoke", {"plume": Suspect(())}))
    spot = drawn.spots[("subtrees", "end")]
    assert isinstance(spot, CheckSpot)
    assert not spot.known
    assert drawn.shared == (("subtrees", "end"),)


def test_preparation_is_paid_once() -> None:
    tree = Ask("lamp", {"dark": Ask("lamp", {"ring": Suspect(("ring-missing",))})})
    first, second = outline(OUTER, tree=tree).spots.values()
    assert isinstance(first, CheckSpot)
    assert isinstance(second, CheckSpot)
    assert first.prepare == ("gate-off",)
    assert second.prepare == ()


def test_a_loaded_check_is_withheld_while_the_gate_is_shut() -> None:
    at_once = outline(OUTER, tree=Ask("run", {"below": Suspect(())}))
    assert check_spots(at_once)["run"].withheld
    # After red flags, hoses and a sound charge path the consultant would offer the run.
    assert not check_spots(outline(OUTER))["run"].withheld


def test_the_way_of_a_case_is_marked() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"), ("hose-trace", "matches"))
    drawn = outline(case, case=case)
    spots = check_spots(drawn)
    assert [check for check, spot in spots.items() if spot.walked] == [
        "red-flags",
        "what-changed",
        "hose-trace",
        "lamp",
    ]
    assert [check for check, spot in spots.items() if spot.here] == ["lamp"]
    walked = [lane.words for branch in branches(drawn) for lane in branch.lanes if lane.walked]
    assert walked[0] == ("Nothing",)
    assert walked[-1] == ("All match",)
    assert len(walked) == 3
    assert drawn.case


def test_the_leaf_of_a_case_is_marked_and_says_what_the_case_says() -> None:
    case = found(
        ("red-flags", "none"),
        ("what-changed", "just-fitted"),
        ("smoke", "nowhere"),
        ("hose-trace", "matches"),
        ("lamp", "ring"),
    )
    drawn = outline(case, case=case)
    (leaf,) = leaves(drawn, "lamp")
    assert leaf.walked
    assert not any(leaf.walked for leaf in leaves(drawn, "smoke"))
    chance = Consultant(knowledge()).consult(case).chance("ring-missing")
    assert leaf.suspects[0].low == pytest.approx(chance)


def test_an_unknown_answer_of_a_case_marks_the_unknown_lane() -> None:
    case = found(
        ("red-flags", "none"),
        ("what-changed", "earlier"),
        ("hose-trace", "matches"),
        ("lamp", None),
    )
    drawn = outline(case, case=case)
    lanes = [lane for branch in check_spots(drawn)["lamp"].branches for lane in branch.lanes]
    assert [lane.words for lane in lanes if lane.walked] == [("No light", "not known")]
    assert check_spots(drawn)["smoke"].here


def test_the_symptom_drawn_is_the_complaint() -> None:
    case = replace(found(("red-flags", "knock")), symptoms=("overboost", "lazy"))
    drawn = outline(case, case=case)
    (leaf,) = leaves(drawn, "red-flags")
    turned = replace(case, symptoms=("lazy", "overboost"))
    expected = Consultant(knowledge()).consult(turned).chance("wheel-broken")
    assert leaf.suspects[0].low == pytest.approx(expected)


def test_a_tree_that_is_one_leaf_has_a_leaf_as_root() -> None:
    case = found()
    drawn = outline(case, tree=Suspect(("charge-leak",)), case=case)
    assert isinstance(drawn.root, Leaf)
    assert drawn.root.walked
    assert drawn.spots == {}


def test_every_place_drawn_is_reached_from_the_root() -> None:
    drawn = sketch(Consultant(knowledge()), "lazy", cars_for(knowledge()))
    seen: set[Path] = set()
    todo = [drawn.root]
    while todo:
        path = todo.pop()
        if isinstance(path, tuple) and path not in seen:
            seen.add(path)
            todo += [branch.target for branch in drawn.spots[path].branches]
    assert seen == set(drawn.spots)


def test_the_shipped_knowledge_draws(shipped: Knowledge) -> None:
    consultant = Consultant(shipped)
    for symptom, setup in zip(shipped.symptoms, cycle(shipped.setups), strict=False):
        drawn = sketch(consultant, symptom, cars_for(shipped, setup)[:1])
        targets = [branch.target for branch in branches(drawn)]
        suspects = [item for end in targets if isinstance(end, Leaf) for item in end.suspects]
        assert suspects
        assert all(0.0 <= item.low <= item.high <= 1.0 for item in suspects)
