"""The way of a case through a tree."""

from __future__ import annotations

from expert.case.consult import Consultant
from expert.case.state import State
from expert.export.marks import marks_of
from tests.export.pictures import found
from tests.small import knowledge

CONSULTANT = Consultant(knowledge())
HOSES = ("subtrees", "hoses")


def test_places_and_branches_of_the_walk_are_marked() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"))
    marks = marks_of(CONSULTANT, "lazy", case)
    assert marks.walked(("tree",))
    assert marks.branch(("tree",), ["none", "knock"])
    assert not marks.branch(("tree",), ["otherwise"])
    assert marks.walked(HOSES)
    assert marks.here(HOSES)
    assert not marks.here(("tree",))
    assert not marks.walked(("subtrees", "outer"))


def test_the_answer_decides_between_lanes() -> None:
    marks = marks_of(CONSULTANT, "lazy", found(("red-flags", "knock"), ("smoke", None)))
    assert marks.answered("red-flags", ["knock", "metal-noise"], unknown=False)
    assert not marks.answered("red-flags", ["none"], unknown=True)
    assert marks.answered("smoke", ["plume"], unknown=True)
    assert not marks.answered("smoke", ["plume"], unknown=False)


def test_without_a_case_or_a_setup_nothing_is_marked() -> None:
    for case in (None, State(symptoms=("lazy",))):
        marks = marks_of(CONSULTANT, "lazy", case)
        assert not marks.walked(("tree",))
        assert not marks.here(("tree",))


def test_the_way_is_that_of_the_dialogue() -> None:
    known = [("red-flags", "none"), ("what-changed", "nothing"), ("hose-trace", "matches")]
    case = found(*known, ("lamp", "ring"))
    way = CONSULTANT.consult(case).way
    marks = marks_of(CONSULTANT, "lazy", case)
    assert marks.here(way.visits[-1].path)
    assert all(marks.walked(visit.path) for visit in way.visits)


def test_in_another_tree_the_answers_lead() -> None:
    case = found(("red-flags", "none"), ("hose-trace", "matches"))
    marks = marks_of(CONSULTANT, "overboost", case)
    assert marks.walked(("tree", "then", "otherwise"))
