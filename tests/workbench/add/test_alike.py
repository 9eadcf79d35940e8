"""What is worth a thought for a new entry."""

from __future__ import annotations

from expert.loading.folder import load, shipped_folder
from expert.workbench.add.alike import (
    Likeness,
    cars,
    leaves,
    leaves_for,
    likeness,
    plausible_causes,
    plausible_checks,
    questions,
    stations,
    titles,
    together,
)
from tests import small

KNOWLEDGE = small.knowledge()


def test_cars_are_setups_with_gates_and_bypasses() -> None:
    outer = frozenset({"turbo", "external-gate"})
    assert outer in cars(KNOWLEDGE)
    assert outer | {"soft-bypass"} in cars(KNOWLEDGE)
    assert frozenset({"turbo"}) not in cars(KNOWLEDGE)
    assert together(KNOWLEDGE, ["internal-gate"], ["soft-bypass"])
    assert not together(KNOWLEDGE, ["internal-gate"], ["external-gate"])


def test_look_alikes_come_by_part_complaint_and_work() -> None:
    found = likeness(KNOWLEDGE, Likeness(("external-gate",), ("gate",), ("lazy",)))
    assert next(iter(found)) == "ring-missing"
    # No car has both gates.
    assert "flap-stuck" not in found
    assert likeness(KNOWLEDGE, Likeness(work=("pipes",))) == {"charge-leak": 1.0}


def test_checks_that_share_a_part_or_a_complaint_are_plausible() -> None:
    found = plausible_checks(KNOWLEDGE, Likeness(("external-gate",), (), ("lazy",)))
    assert found[0] == "lamp"
    assert {"smoke", "run", "shaft"} <= set(found)
    assert "flap" not in found
    assert "what-changed" not in found
    only_part = plausible_checks(KNOWLEDGE, Likeness(("internal-gate",), (), ()))
    assert set(only_part) == {"flap", "run"}


def test_causes_on_cars_that_can_do_a_check() -> None:
    found = plausible_causes(KNOWLEDGE, ["internal-gate"])
    assert found[0] == "flap-stuck"
    assert "ring-missing" not in found


def test_every_leaf_has_a_name_of_its_own_and_a_path() -> None:
    found = leaves(KNOWLEDGE, "lazy")
    assert {leaf.name for leaf in found} >= {"tree/otherwise", "hoses/hose-loose", "inner/stuck"}
    stuck = next(leaf for leaf in found if leaf.name == "inner/stuck")
    assert stuck.path == ("subtrees", "inner", "then", "stuck", "suspect")
    assert stuck.causes == ("flap-stuck",)


def test_only_places_that_the_car_can_come_to_are_offered() -> None:
    found = leaves_for(KNOWLEDGE, "lazy", Likeness(("external-gate",), ("gate",), ("lazy",)))
    names = [leaf.name for leaf in found]
    assert names[0] == "outer/ring"
    assert "inner/stuck" not in names
    assert "air/plume" in names


def test_the_leaves_of_the_shipped_trees_are_told_apart() -> None:
    shipped = load([shipped_folder()])
    for symptom in shipped.symptoms:
        names = [leaf.name for leaf in leaves(shipped, symptom)]
        assert names
        assert len(set(names)) == len(names)


def test_a_check_can_be_asked_where_every_car_has_its_parts() -> None:
    found = stations(KNOWLEDGE, "lazy", ["external-gate"], ["ring-missing"])
    assert list(found) == ["outer"]
    assert found["outer"] == "Now asked there: What light passes?"
    anywhere = stations(KNOWLEDGE, "lazy", [], ["charge-leak"])
    # Those that suspect the cause come first.
    assert list(anywhere) == ["air", "hoses", "outer", "inner"]


def test_lists() -> None:
    assert titles(KNOWLEDGE.causes)["charge-leak"] == "Charge pipe off"
    assert questions(KNOWLEDGE.checks)["lamp"] == "What light passes?"
