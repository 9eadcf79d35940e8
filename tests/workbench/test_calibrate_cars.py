"""Invented cars against the algebra of the rankings: two ways to the same chances."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from expert.model import Column, Slip
from expert.reasoning.belief import marginals, posterior
from expert.reasoning.network import History, Network
from expert.workbench.calibrate_cars import MOST_FINDINGS, Cars, World
from tests.small import knowledge, policy

OUTER = frozenset({"turbo", "external-gate"})
INNER = frozenset({"turbo", "internal-gate"})
BOOK = knowledge()
FRESH = History("just-fitted", frozenset({"gate"}))
COUNT = 40_000
# Five spreads of a share near a half among so many cars.
CLOSE = 5.0 * 0.5 / COUNT**0.5


def cars(history: History = FRESH, faults: int | None = None, count: int = COUNT) -> Cars:
    world = World(BOOK, OUTER, history)
    return world.cars("lazy", count, faults, np.random.default_rng(11))


@pytest.mark.parametrize("history", [History(), History("nothing"), FRESH])
def test_causes_fall_as_the_posterior_of_the_complaint_says(history: History) -> None:
    network = Network(BOOK, OUTER, "lazy", history)
    belief = posterior(network.prior, [network.symptom("lazy")])
    there = cars(history).there
    assert there.mean(axis=0) == pytest.approx(marginals(belief), abs=CLOSE)
    assert (~there.any(axis=1)).mean() == pytest.approx(belief.unlisted, abs=CLOSE)
    assert (there.sum(axis=1) == 2).mean() == pytest.approx(belief.pair.sum() / 2, abs=CLOSE)


@pytest.mark.parametrize("check", ["lamp", "smoke", "run", "red-flags", "hose-trace"])
@pytest.mark.parametrize("there", [(), ("ring-missing",), ("hose-off", "ring-missing")])
def test_answers_fall_as_the_channels_say(check: str, there: tuple[str, ...]) -> None:
    network = Network(BOOK, OUTER, "lazy", History())
    world = World(BOOK, OUTER, History())
    marked = np.zeros((COUNT, len(world.causes)), bool)
    marked[:, [network.column[name] for name in there]] = True
    rng = np.random.default_rng(3)
    # A car with nothing listed shows what another does where boost is read; not asked for here.
    book = replace(BOOK.checks[check], records_boost=False)
    world.knowledge = replace(BOOK, checks={**BOOK.checks, check: book})
    drawn = Counter(world.answered(check, "lazy", marked, rng))
    channel = network.channel(check)
    slip = BOOK.policy.slip.asked
    for answer in channel.answers:
        terms = channel.reading((answer,)).given_also([network.column[name] for name in there])
        chance = (1.0 - slip) * terms.of_none() + slip / len(channel.answers)
        assert drawn[(answer,)] / COUNT == pytest.approx(chance, abs=CLOSE)


def test_something_unlisted_shows_the_boost_that_the_complaint_leads_to_expect() -> None:
    network = Network(BOOK, OUTER, "lazy", FRESH)
    world = World(BOOK, OUTER, FRESH)
    nothing = np.zeros((COUNT, len(world.causes)), bool)
    drawn = Counter(world.answered("run", "lazy", nothing, np.random.default_rng(5)))
    for answer in BOOK.checks["run"].answers:
        evidence = network.finding("run", (answer,), "asked")
        chance = float(evidence.mixed(np.array(evidence.unlisted)))
        assert drawn[(answer,)] / COUNT == pytest.approx(chance, abs=CLOSE)


def test_no_check_that_loads_the_engine_and_no_history_is_asked() -> None:
    found = cars(count=500)
    assert {"run", "what-changed", "worked-on", "flap"}.isdisjoint(found.answers)
    assert {"lamp", "smoke", "red-flags"} <= found.answers.keys()
    asked = np.zeros(500)
    for numbers, answers in found.answers.values():
        assert len(numbers) == len(answers)
        asked[numbers] += 1
    assert asked.min() == 0
    assert asked.max() <= min(MOST_FINDINGS, len(found.answers))


def test_three_faults_are_three_different_faults() -> None:
    found = cars(faults=3, count=300)
    assert set(found.there.sum(axis=1)) == {3}
    designed = World(BOOK, OUTER, FRESH).causes.index("as-designed:base-map")
    assert not found.there[:, designed].any()


def test_a_complaint_that_no_car_shows_ends() -> None:
    mute = policy(
        symptom_leak=0.0, unlisted_shows=0.0, slip=Slip(asked=0.0, log=0.0, mail=0.0, hookup=0.0)
    )
    lazy = replace(BOOK.symptoms["lazy"], causes={})
    world = World(replace(BOOK, policy=mute, symptoms={"lazy": lazy}), OUTER, FRESH)
    with pytest.raises(ValueError, match="next to no car shows lazy"):
        world.cars("lazy", 5, None, np.random.default_rng(1))


def test_a_car_with_a_single_possible_fault_has_no_second() -> None:
    causes = {name: BOOK.causes[name] for name in ("charge-leak", "as-designed:base-map")}
    always = policy(second_fault=Column(just_fitted=0.9, settled=0.9))
    world = World(replace(BOOK, causes=causes, policy=always), INNER, FRESH)
    found = world.cars("lazy", 50, None, np.random.default_rng(1))
    assert found.there.sum(axis=1).max() == 1
