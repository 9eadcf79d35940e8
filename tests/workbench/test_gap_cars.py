"""Cars and what their checks tell: ``expert/workbench/gap_cars.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.loading.folder import load, shipped_folder
from expert.model import Ask, Fork, Go, Knowledge, Suspect
from expert.workbench.gap_cars import cars, reached
from tests import small


@pytest.fixture(scope="module")
def shipped() -> Knowledge:
    return load([shipped_folder()])


def test_every_gate_and_bypass_makes_a_car(shipped: Knowledge) -> None:
    names = [car.name for car in cars(shipped, ["direct", "internal-tap"])]
    each = len(shipped.bypasses) + 1
    assert (
        names == ["direct internal"] * each + ["direct external"] * each + ["internal-tap"] * each
    )


def test_arrays_of_a_car() -> None:
    knowledge = small.knowledge()
    car = next(cars(knowledge, ["outer"]))
    causes = len(car.network.causes)
    assert car.strength.shape == (len(car.checks), causes, causes)
    assert car.shows.shape == (len(knowledge.symptoms), causes)
    minutes = [knowledge.checks[check].minutes for check in car.checks]
    assert minutes == sorted(minutes)
    for shares in car.answers:
        assert np.allclose(shares.sum(axis=0), 1.0)


def test_checks_of_a_tree_that_a_car_can_reach() -> None:
    knowledge = small.knowledge()
    symptom = next(iter(knowledge.symptoms.values()))
    leaf = Suspect(("ring-missing",))
    tree = Fork(
        {"gate": Ask("a", {"x": Go("more"), "y": leaf}), "otherwise": Ask("b", {"x": leaf})}
    )
    more = Ask("c", {"x": Go("more")})
    forked = type(symptom)(
        title="t",
        what="w",
        danger="none",
        causes={},
        tree=tree,
        subtrees={"more": more},
        basis="invented",
    )
    assert reached(forked, frozenset({"gate"})) == {"a", "c"}
    assert reached(forked, frozenset()) == {"b"}
