"""The way of a case through a tree."""

from __future__ import annotations

from expert.case.state import State
from expert.export.marks import Marks
from tests.export.pictures import found
from tests.small import LAZY, knowledge

HOSES = ("subtrees", "hoses")


def test_places_and_branches_of_the_walk_are_marked() -> None:
    case = found(("red-flags", "none"), ("what-changed", "nothing"))
    marks = Marks(knowledge(), LAZY, case)
    assert marks.walked(("tree",))
    assert marks.branch(("tree",), ["none", "knock"])
    assert not marks.branch(("tree",), ["otherwise"])
    assert marks.walked(HOSES)
    assert marks.here(HOSES)
    assert not marks.here(("tree",))
    assert not marks.walked(("subtrees", "outer"))


def test_the_answer_decides_between_lanes() -> None:
    marks = Marks(knowledge(), LAZY, found(("red-flags", "knock"), ("smoke", None)))
    assert marks.answered("red-flags", ["knock", "metal-noise"], unknown=False)
    assert not marks.answered("red-flags", ["none"], unknown=True)
    assert marks.answered("smoke", ["plume"], unknown=True)
    assert not marks.answered("smoke", ["plume"], unknown=False)


def test_without_a_case_or_a_setup_nothing_is_marked() -> None:
    for case in (None, State(symptoms=("lazy",))):
        marks = Marks(knowledge(), LAZY, case)
        assert not marks.walked(("tree",))
        assert not marks.here(("tree",))
