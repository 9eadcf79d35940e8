"""Stated probabilities are true on cars as the knowledge says, and wrong ones are found out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from expert.model import Knowledge
from expert.reasoning.network import Network
from expert.workbench.calibrate import SETTINGS, Calibration, calibrations
from expert.workbench.calibrate_cars import Cars
from expert.workbench.calibrate_rank import Ranked, Ranker
from tests.small import CHECKS, knowledge

CARS = 12_000
BOOK = knowledge()


def calibrated(
    book: Knowledge = BOOK,
    rank: Callable[[Ranker, Network, Cars], Ranked] = Ranker.ranked,
    cars: int = CARS,
    seed: int = 1,
) -> Calibration:
    (found,) = calibrations(book, cars, seed, SETTINGS[:1], rank)
    return found


SOUND = calibrated()


def test_what_is_stated_is_true() -> None:
    assert SOUND.cars == CARS
    assert not SOUND.off
    assert SOUND.first_error <= 0.01
    assert SOUND.error <= 0.01
    assert 0.0 < SOUND.first <= SOUND.five <= 1.0


def slipless(knowledge_: Knowledge) -> Knowledge:
    slip = replace(knowledge_.policy.slip, asked=1e-9)
    return replace(knowledge_, policy=replace(knowledge_.policy, slip=slip))


def leakless(knowledge_: Knowledge) -> Knowledge:
    checks = {name: replace(one, healthy={}) for name, one in knowledge_.checks.items()}
    return replace(knowledge_, checks=checks)


def single(knowledge_: Knowledge) -> Knowledge:
    second = replace(knowledge_.policy.second_fault, just_fitted=0.0, settled=0.0)
    return replace(knowledge_, policy=replace(knowledge_.policy, second_fault=second))


@pytest.mark.parametrize("wrong", [slipless, leakless, single])
def test_a_posterior_that_leaves_something_out_is_found_out(
    wrong: Callable[[Knowledge], Knowledge],
) -> None:
    def rank(ranker: Ranker, network: Network, cars: Cars) -> Ranked:
        book = wrong(network.knowledge)
        return ranker.ranked(Network(book, network.parts, network.complaint, network.history), cars)

    found = calibrated(rank=rank)
    assert found.off
    assert found.first_error > 2.0 * SOUND.first_error
    assert found.log > SOUND.log


def test_evidence_that_is_counted_twice_is_found_out() -> None:
    def rank(ranker: Ranker, network: Network, cars: Cars) -> Ranked:
        stated = ranker.ranked(network, cars)
        twice = stated.share**2
        share = twice / twice.sum(axis=1, keepdims=True)
        return Ranked(share[:, :-1], share)

    assert calibrated(rank=rank).off


def test_rankings_fail_gracefully() -> None:
    found = {one.setting.name: one for one in calibrations(BOOK, 4000)}
    assert list(found) == [setting.name for setting in SETTINGS]
    sound, worst = found["as the knowledge says"], found["numbers off by two shakes"]
    # Wrong numbers cost something, and the ranking is still far from a guess among five causes.
    assert worst.log > sound.log
    assert worst.first > 0.4
    three = found["three faults"]
    assert three.log > sound.log


def test_the_same_seed_draws_the_same_cars() -> None:
    assert calibrated(cars=300, seed=7) == calibrated(cars=300, seed=7)
    assert calibrated(cars=300, seed=7) != calibrated(cars=300, seed=8)


def test_every_kind_of_car_is_drawn() -> None:
    seen: set[tuple[frozenset[str], str | None]] = set()

    def rank(ranker: Ranker, network: Network, cars: Cars) -> Ranked:
        seen.add((network.parts, network.complaint))
        return ranker.ranked(network, cars)

    calibrated(rank=rank, cars=100)
    # Two setups with one gate and one with two, with a bypass or without, and two complaints;
    # the one that leaves its gate open has the parts of the others then.
    gates = {"external-gate", "internal-gate"}
    expected = {
        (frozenset({"turbo", gate, *bypass}), complaint)
        for gate in gates
        for bypass in ((), ("soft-bypass",))
        for complaint in ("lazy", "overboost")
    }
    assert seen == expected


def test_fewer_cars_than_kinds_are_still_so_many_cars() -> None:
    assert calibrated(cars=3).cars == 3


def test_a_knowledge_without_a_check_of_the_history_will_do() -> None:
    checks = {name: one for name, one in CHECKS.items() if one.kind != "history"}
    found = calibrated(book=replace(BOOK, checks=checks), cars=200)
    assert np.isfinite(found.log)
