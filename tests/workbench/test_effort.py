"""What the trees take, by the same invented cars as choosing by value."""

from __future__ import annotations

import pytest

from expert.workbench.effort import Fleet, Row, efforts
from tests.small import knowledge


def judged(cars: int = 12, seed: int = 3) -> Row:
    return next(efforts(knowledge(), ["lazy"], ["outer"], Fleet(cars, seed)))


def test_a_tree_is_judged_beside_choosing_by_value() -> None:
    row = judged()
    assert (row.symptom, row.setup) == ("lazy", "outer")
    for effort in (row.tree, row.value):
        assert effort.minutes > 0.0
        assert effort.checks >= row.bound_checks
        assert 0.0 <= effort.found <= 1.0
    assert row.ratio == pytest.approx(row.tree.minutes / row.value.minutes)


def test_the_same_seed_gives_the_same_figures() -> None:
    assert judged(cars=4) == judged(cars=4)


def test_waste_is_noted_where_the_tree_stands_and_never_for_safety() -> None:
    waste = judged().waste
    assert all(minutes > 0.0 for minutes in waste.values())
    # The first check of the tree is the red flags, the subtree `hoses` begins with the hoses.
    assert ("tree",) not in waste
    assert ("subtrees", "hoses") not in waste
    assert list(waste.values()) == sorted(waste.values(), reverse=True)


def test_every_symptom_and_setup_gets_its_row() -> None:
    rows = list(efforts(knowledge(), ["lazy"], ["outer", "inner"], Fleet(2, 1)))
    assert [row.setup for row in rows] == ["outer", "inner"]
