"""What may be done next and what it is worth, on the small knowledge of the tests."""

from __future__ import annotations

import pytest

from expert.case.events import Answered
from expert.case.offer import Offer, Withheld
from expert.errors import UsageError
from tests.case.consulted import FRESH, consulted


def test_a_load_is_never_offered_while_the_gate_is_shut() -> None:
    found = consulted(Answered("red-flags", ("none",)))
    assert not found.gate.allowed
    assert all(not item.check.loads_engine for item in found.offers)
    assert isinstance(found.offer("run"), Withheld)


def test_an_unknown_answer_carries_no_evidence() -> None:
    asked = consulted(*FRESH, Answered("smoke", ()))
    assert asked.probability.tolist() == consulted(*FRESH).probability.tolist()
    assert "smoke" not in asked.open_checks


def test_preparation_already_done_makes_a_check_cheaper() -> None:
    before = consulted(*FRESH[:2])
    after = consulted(*FRESH[:2], Answered("lamp", ("dark",)))
    assert before.prepared == frozenset()
    assert after.prepared == {"gate-off"}
    assert consulted(*FRESH[:2], Answered("lamp", ())).prepared == frozenset()


def test_an_offer_for_a_check_of_another_car_is_refused() -> None:
    with pytest.raises(UsageError, match="does not fit this car"):
        consulted().offer("flap")


def test_repairs_follow_probability_over_cost() -> None:
    found = consulted(*FRESH)
    ratios = [repair.probability / repair.cost for repair in found.repairs(10)]
    assert ratios == sorted(ratios, reverse=True)


def test_a_check_pays_when_it_saves_enough_of_its_own_minutes() -> None:
    found = consulted(*FRESH)
    offered = found.offer("smoke")
    assert isinstance(offered, Offer)
    share = (found.values["smoke"] + offered.minutes) / offered.minutes
    assert found.pays("smoke", share - 0.01)
    assert not found.pays("smoke", share + 0.01)
