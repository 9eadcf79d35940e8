"""Answers in groups, apart by danger."""

from __future__ import annotations

from expert.export.lanes import ANY_OTHER, NOT_KNOWN, Group, grouped, shares
from expert.model import Check
from tests.small import CHECKS, check

MANY = check(
    "Which?",
    {key: f"The {key}" for key in ("fine", "a", "b", "c", "d", "e")},
    {},
    danger={"e": "stop", "d": "caution"},
)


def every(one: Check, ends: dict[str, object]) -> list[Group]:
    return grouped(one, ends, one.answers)


def test_answers_that_a_car_cannot_give_are_left_out() -> None:
    ends: dict[str, object] = {"matches": "on", "otherwise": "off"}
    groups = grouped(CHECKS["hose-trace"], ends, {"matches", "wrong-port"})
    assert [list(group.keys) for group in groups] == [["matches"], ["wrong-port"]]


def test_answers_go_where_their_branch_ends() -> None:
    groups = every(CHECKS["smoke"], {"plume": "leak", "otherwise": "run", "unknown": "run"})
    assert [list(group.keys) for group in groups] == [["nowhere", "wisp", "unknown"], ["plume"]]
    assert groups[0].unknown
    assert groups[0].answers == ["nowhere", "wisp"]
    assert groups[0].keys["wisp"] == "otherwise"


def test_answers_without_a_branch_leave_the_tree_together() -> None:
    groups = every(CHECKS["hose-trace"], {"matches": "on"})
    assert [list(group.keys) for group in groups] == [["matches"], ["hose-loose", "wrong-port"]]
    assert not any(group.unknown for group in groups)


def test_branches_to_the_same_end_are_one_group() -> None:
    (group,) = every(CHECKS["lamp"], {"dark": "x", "ring": "x", "unknown": "x"})
    assert list(group.keys) == ["dark", "ring", "unknown"]


def test_a_group_is_split_by_danger_with_the_unknown_among_the_harmless() -> None:
    (group,) = every(MANY, {"otherwise": "x", "unknown": "x"})
    none, caution, stop = shares(MANY, group)
    assert (none.danger, none.answers, none.unknown) == ("none", ("fine", "a", "b", "c"), True)
    assert none.words == (ANY_OTHER, NOT_KNOWN)
    assert (caution.danger, caution.words, caution.unknown) == ("caution", ("The d",), False)
    assert (stop.danger, stop.words) == ("stop", ("The e",))


def test_answers_that_the_tree_names_are_always_said() -> None:
    ends = dict.fromkeys(("fine", "a", "b", "c"), "x")
    (share, *_) = shares(MANY, every(MANY, ends)[0])
    assert share.words == ("The fine", "The a", "The b", "The c")


def test_an_unknown_answer_alone_is_a_harmless_share() -> None:
    groups = every(CHECKS["lamp"], {"dark": "x", "ring": "y", "unknown": "z"})
    (share,) = shares(CHECKS["lamp"], groups[2])
    assert (share.danger, share.answers, share.words) == ("none", (), (NOT_KNOWN,))
