"""What a change comes to: ``expert/workbench/diff.py``."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, event, given, settings

from expert.case.consult import Consultant
from expert.case.events import Described
from expert.case.state import fold
from expert.model import Ask, Expected, Knowledge, Suspect
from expert.workbench.diff import Opening, cars, difference, opening, unfit
from expert.workbench.tryout import outcome
from tests import small
from tests.workbench.altered import CASES, altered, as_side, known_case


def diffed(new: Knowledge, everything: bool = False, **cases: Any) -> Any:
    return difference(as_side(small.knowledge()), as_side(new, {**CASES, **cases}), everything)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(altered())
def test_playing_only_what_is_touched_finds_all_that_playing_everything_finds(
    new: Knowledge,
) -> None:
    selective, everything = diffed(new), diffed(new, everything=True)
    assert selective.cases == everything.cases
    assert selective.openings == everything.openings
    assert selective.leaves == everything.leaves
    assert everything.cases_played == everything.cases_known == len(CASES)
    assert selective.cases_played <= len(CASES)
    event(f"played {selective.cases_played}, differ {len(selective.cases)}")


def test_nothing_is_played_when_only_words_change() -> None:
    causes = {name: replace(cause, fix="Other.") for name, cause in small.CAUSES.items()}
    found = diffed(small.knowledge(causes=causes))
    assert len(found.changes) == len(causes)
    assert (found.cases_played, found.cases, found.leaves, found.openings) == (0, (), (), ())


def test_a_case_that_comes_out_otherwise_is_told_with_both_outcomes() -> None:
    lamp = replace(small.CHECKS["lamp"], given={"ring-missing": {"ring": 0.03}})
    new = small.knowledge(checks={**small.CHECKS, "lamp": lamp})
    found = diffed(new)
    (ring,) = [case for case in found.cases if case.id == "ring"]
    assert ring.only is None
    assert ring.before.outcome == outcome(Consultant(small.knowledge()), CASES["ring"])
    assert ring.after.outcome == outcome(Consultant(new), CASES["ring"])
    assert ring.before.outcome != ring.after.outcome
    # Cars with the other gate were not played.
    assert found.cases_played == sum(case.setup == "outer" for case in CASES.values())


def test_a_story_or_an_expectation_that_changed() -> None:
    told = replace(CASES["flap"], rest="sound", title="Told again")
    within = replace(CASES["ring"], expect=Expected(cause="ring-missing", within=1))
    found = diffed(small.knowledge(), flap=told, ring=within)
    assert found.cases_played == 2
    ring, *_ = found.cases
    assert (ring.before.missed, ring.after.missed) == ((), ("within",))


def test_cases_of_one_side_are_told_under_both() -> None:
    here = known_case("charge-leak", "inner", "lazy")
    found = diffed(small.knowledge(), here=here)
    (case,) = found.cases
    assert (case.id, case.only) == ("here", "new")
    assert case.before == case.after
    assert case.before.outcome.named == "charge-leak"
    back = difference(
        as_side(small.knowledge(), {**CASES, "here": here}), as_side(small.knowledge())
    )
    assert [(case.id, case.only) for case in back.cases] == [("here", "old")]


def test_a_case_that_does_not_fit_the_other_side() -> None:
    setups = {**small.knowledge().setups, "third": small.knowledge().setups["outer"]}
    new = small.knowledge(setups=setups)
    third = known_case("charge-leak", "third", "lazy")
    (case,) = diffed(new, third=third).cases
    assert case.before is None
    assert case.after.outcome.named == "charge-leak"


@pytest.mark.parametrize(
    "changes",
    [
        {"setup": "fourth"},
        {"setup": "either"},
        {"bypass": "hard"},
        {"symptoms": ("loud",)},
        {"answers": {"sniff": ("oil",)}},
        {"answers": {"lamp": ("ring", "green")}},
    ],
)
def test_what_makes_a_case_unfit(changes: dict[str, Any]) -> None:
    assert not unfit(small.knowledge(), CASES["ring"])
    assert not unfit(small.knowledge(), replace(CASES["ring"], answers={"lamp": ("unknown",)}))
    assert unfit(small.knowledge(), replace(CASES["ring"], **changes))


def test_a_leaf_is_told_once_for_all_its_cars() -> None:
    old = small.LAZY
    air = old.subtrees["air"]
    assert isinstance(air, Ask)
    then = {**air.then, "plume": Suspect(("charge-leak", "hose-off"))}
    lazy = replace(old, subtrees={**old.subtrees, "air": replace(air, then=then)})
    found = diffed(small.knowledge(symptoms={"lazy": lazy, "overboost": small.OVERBOOST}))
    # By the lamp or by the flap it is another way to the same place.
    (leaves,) = found.leaves
    assert leaves.cars == ()
    assert leaves.change.way[-2][0] == "lamp"
    assert leaves.change.before == "suspects charge-leak"
    assert leaves.change.after == "suspects charge-leak, hose-off"
    inner = Suspect(("flap-stuck",))
    lazy = replace(old, subtrees={**old.subtrees, "inner": inner})
    found = diffed(small.knowledge(symptoms={"lazy": lazy, "overboost": small.OVERBOOST}))
    (leaves,) = found.leaves
    assert leaves.cars == (
        *("inner", "inner, bypass soft"),
        *("either, internal gate", "either, internal gate, bypass soft"),
    )


def test_a_first_question_that_changes() -> None:
    old = small.LAZY
    tree = old.tree
    assert isinstance(tree, Ask)
    lazy = replace(old, tree=replace(tree, then={**tree.then, "none": Ask("smoke", {})}))
    new = small.knowledge(symptoms={"lazy": lazy, "overboost": small.OVERBOOST})
    found = diffed(new)
    assert len(found.openings) == len(list(cars(small.knowledge(), new, bypasses=False)))
    one = found.openings[0]
    assert (one.symptom, one.setup, one.gate) == ("lazy", "outer", None)
    # Where the history is unknown this tree ends, and value decides.
    assert one.before.first == "what-changed"
    assert one.before.after_history in small.CHECKS
    assert one.after == Opening("smoke", "smoke")


def test_an_opening_as_the_dialogue_goes() -> None:
    state = fold([Described("setup", "outer"), Described("symptom", "overboost")])
    found = opening(Consultant(small.knowledge()), state)
    assert found == Opening("hose-trace", "hose-trace")


def test_cars_that_both_sides_know() -> None:
    old = small.knowledge()
    new = small.knowledge(setups={"either": old.setups["either"], "inner": old.setups["inner"]})
    assert [car.name for car in cars(old, new, bypasses=True)] == [
        "either, internal gate",
        "either, internal gate, bypass soft",
        "either, external gate",
        "either, external gate, bypass soft",
        "inner",
        "inner, bypass soft",
    ]
