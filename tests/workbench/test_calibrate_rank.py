"""Rankings of many cars at once against one at a time."""

from __future__ import annotations

import numpy as np
import pytest

from expert.reasoning.belief import marginals, posterior
from expert.reasoning.network import History, Network
from expert.workbench.calibrate_cars import Cars, World
from expert.workbench.calibrate_rank import Ranker
from expert.workbench.learn_score import shares
from tests.small import knowledge

OUTER = frozenset({"turbo", "external-gate"})
BOOK = knowledge()


@pytest.mark.parametrize("complaint", ["lazy", "overboost"])
def test_many_at_once_are_as_one_at_a_time(complaint: str) -> None:
    ranker = Ranker(len(World(BOOK, OUTER, History()).causes))
    for history in (History("just-fitted"), History("nothing")):
        network = Network(BOOK, OUTER, complaint, history)
        world = World(BOOK, OUTER, history)
        cars = world.cars(complaint, 60, None, np.random.default_rng(2))
        found = ranker.ranked(network, cars)
        for car in range(60):
            findings = [network.symptom(complaint)]
            for check, (numbers, answers) in cars.answers.items():
                findings += [
                    network.finding(check, answer, "asked")
                    for number, answer in zip(numbers, answers, strict=True)
                    if number == car
                ]
            belief = posterior(network.prior, findings)
            assert found.probability[car] == pytest.approx(marginals(belief), abs=1e-12)
            assert found.share[car] == pytest.approx(shares(belief), abs=1e-12)


def test_cars_without_any_finding_are_ranked_by_their_complaint() -> None:
    network = Network(BOOK, OUTER, "lazy", History())
    found = Ranker(len(network.causes)).ranked(
        network, Cars(np.zeros((3, len(network.causes)), bool), {})
    )
    belief = posterior(network.prior, [network.symptom("lazy")])
    assert found.probability == pytest.approx(np.tile(marginals(belief), (3, 1)))
    assert found.share.sum(axis=1) == pytest.approx(np.ones(3))
