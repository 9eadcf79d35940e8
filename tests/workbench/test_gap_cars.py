"""Cars and how their causes answer: ``expert/workbench/gap_cars.py``."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from expert.model import Ask, Fork, Go, Suspect
from expert.reasoning.network import History, Network
from expert.workbench.gap_cars import cars, layouts, reached
from tests import small


def test_every_gate_and_bypass_makes_a_car() -> None:
    found = [(car.setup, car.gate, car.bypass) for car in cars(small.knowledge(), ["either"])]
    assert found == [
        ("either", gate, bypass) for gate in ("internal", "external") for bypass in ("none", "soft")
    ]
    one, *_, last = cars(small.knowledge(), ["either"])
    assert ("internal-gate" in one.parts, "soft-bypass" in one.parts) == (True, False)
    assert ("internal-gate" in last.parts, "soft-bypass" in last.parts) == (False, True)


def test_setups_with_their_gates() -> None:
    expected = [("outer", None), ("either", "internal"), ("either", "external")]
    assert list(layouts(small.knowledge(), ["outer", "either"])) == expected


@pytest.mark.parametrize("setup", ["outer", "inner"])
def test_answers_are_those_that_the_reasoning_expects(setup: str) -> None:
    book = small.knowledge()
    car = next(cars(book, [setup]))
    network = Network(book, car.parts, None, History())
    assert car.causes == network.causes
    assert car.checks == network.checks
    for check, shares in zip(car.checks, car.answers, strict=True):
        terms = network.channel(check).terms
        raw = np.array([term.of_single() for term in terms])
        slip = book.policy.slip.asked
        assert shares == pytest.approx((1 - slip) * raw / raw.sum(axis=0) + slip / len(raw))
        sound = car.table.heard[check].sound
        assert sound.sum() == pytest.approx(1.0)
        assert sound.argmax() == network.channel(check).sound.argmax()


def test_what_shows_is_by_symptom_and_cause() -> None:
    car = next(cars(small.knowledge(), ["inner"]))
    assert car.shows.shape == (2, len(car.causes))
    assert car.shows[0, car.causes.index("flap-stuck")] == 0.93
    assert car.shows[1, car.causes.index("hose-off")] == 0.93


def test_checks_of_a_tree_that_a_car_can_reach() -> None:
    leaf = Suspect(("ring-missing",))
    tree = Fork(
        {"gate": Ask("a", {"x": Go("more"), "y": leaf}), "otherwise": Ask("b", {"x": leaf})}
    )
    forked = replace(small.LAZY, tree=tree, subtrees={"more": Ask("c", {"x": Go("more")})})
    assert reached(forked, frozenset({"gate"})) == {"a", "c"}
    assert reached(forked, frozenset()) == {"b"}
    no_way = replace(forked, tree=Fork({"gate": Ask("a", {})}))
    assert reached(no_way, frozenset()) == set()
