"""Causes that no answers make likely: ``expert/workbench/gap_reach.py``."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from expert.loading.folder import load, shipped_folder
from expert.reasoning.belief import marginals, posterior
from expert.reasoning.network import History, Network
from expert.workbench.gap_cars import Car, cars
from expert.workbench.gap_reach import LEAST_GAIN, SEEN, out_of_reach, strongest
from tests import small
from tests.workbench.gap_knowledge import BAD, car, cause, check

TWO = {"a": cause(), "b": cause()}
BOTH = {"lazy": {"a": 0.9, "b": 0.9}}


ONE = np.array([True])


def every(one: Car) -> np.ndarray:
    return np.ones(len(one.causes), bool)


def test_causes_that_answer_alike_stay_below() -> None:
    one = car(TWO, {"look": check({"a": BAD, "b": BAD})}, BOTH)
    found = list(out_of_reach(one, every(one)))
    # Two equals, second faults and unlisted aside, share what there is.
    assert all(0.4 < gap.chance < 0.8 for gap in found)
    assert [(gap.number, gap.rival) for gap in found] == [(0, ("b",)), (1, ("a",))]
    assert [gap.number for gap in out_of_reach(one, np.array([False, True]))] == [1]


def test_what_nothing_shows_has_an_unlisted_rival() -> None:
    policy = small.policy(unlisted=0.4)
    (gap,) = out_of_reach(car({"a": cause()}, {}, {"lazy": {"a": 0.9}}, policy=policy), ONE)
    assert gap.rival == ()


def test_a_rival_may_be_two_causes() -> None:
    # The cause shows both flags, and so do two others together, of which cars often have both.
    causes = {
        "a": cause(seen=small.Seen(just_fitted="rare", settled="rare")),
        "b": cause(),
        "c": cause(),
    }
    checks = {
        "look": check({"a": {"bad": 0.95}, "b": {"bad": 0.95}}),
        "see": check({"a": {"bad": 0.95}, "c": {"bad": 0.95}}),
    }
    policy = small.policy(second_fault=small.Column(just_fitted=0.9, settled=0.9))
    one = car(causes, checks, {"lazy": dict.fromkeys(causes, 0.9)}, policy=policy)
    assert {gap.number: gap.rival for gap in out_of_reach(one, every(one))}[0] == ("b", "c")


def test_a_telling_check_for_each_brings_both_in_reach() -> None:
    checks = {"look": check({"a": {"bad": 0.99}}), "see": check({"b": {"bad": 0.99}})}
    one = car(TWO, checks, BOTH)
    assert not list(out_of_reach(one, every(one)))


def test_an_answer_that_few_of_the_cars_give_does_not_count() -> None:
    def row(share: float) -> Car:
        seen = {"a": {"bad": share}, "b": {"bad": 0.001}}
        checks = {"look": check(seen, healthy={"odd": 0.001, "bad": 0.001})}
        return car(TWO, checks, BOTH)

    for share, numbers in ((SEEN - 0.02, [0, 1]), (SEEN + 0.02, [1])):
        one = row(share)
        assert [gap.number for gap in out_of_reach(one, every(one))] == numbers


def test_nothing_to_reach() -> None:
    for one in (car({}, {}, {}), car(TWO, {}, {}), car({}, {"look": check({})}, BOTH)):
        assert not list(out_of_reach(one, every(one)))


shares = st.floats(0.0, 0.45)
rows = st.fixed_dictionaries({"odd": shares, "bad": shares})


def chances(one: Car, number: int) -> dict[tuple[int, ...], float]:
    """P(the cause) for every pattern that the cause may show, by the reasoning itself."""
    network = Network(one.table.knowledge, one.parts, "lazy", History())
    seen = [np.nonzero(answers[:, number] >= SEEN)[0].tolist() for answers in one.answers]
    found = {}
    for pattern in product(*seen):
        findings = [
            network.finding(name, (("fine", "odd", "bad")[answer],), "asked")
            for name, answer in zip(one.checks, pattern, strict=True)
        ]
        belief = posterior(network.prior, [network.symptom("lazy"), *findings])
        found[pattern] = float(marginals(belief)[number])
    return found


@settings(max_examples=40)
@given(st.lists(st.fixed_dictionaries({"a": rows, "b": rows, "c": rows}), min_size=1, max_size=3))
def test_no_pattern_that_differs_by_one_answer_is_better(
    tables: list[dict[str, dict[str, float]]],
) -> None:
    causes = {**TWO, "c": cause()}
    checks = {f"look-{k}": check(table) for k, table in enumerate(tables)}
    policy = small.policy(conclude=1.0)
    one = car(causes, checks, {"lazy": dict.fromkeys(causes, 0.9)}, policy=policy)
    for number, chance, _ in out_of_reach(one, every(one)):
        by_pattern = chances(one, number)
        assert any(
            at == pytest.approx(chance, abs=1e-9)
            and all(
                other <= at + LEAST_GAIN
                for near, other in by_pattern.items()
                if sum(x != y for x, y in zip(pattern, near, strict=True)) == 1
            )
            for pattern, at in by_pattern.items()
        )


@pytest.mark.parametrize("setup", ["direct", "internal-nipple"])
def test_single_causes_alone_come_near_to_the_whole(setup: str) -> None:
    """On the shipped knowledge: the margin within which pairs are worked out is wide enough."""
    one = next(cars(load([shipped_folder()]), [setup]))
    chance, pattern = strongest(one)
    symptoms = list(one.table.knowledge.symptoms)
    for number in range(0, len(one.causes), 4):
        network = Network(
            one.table.knowledge, one.parts, symptoms[one.shows[:, number].argmax()], History()
        )
        findings = [network.symptom(network.complaint or "")]
        for name, answer in zip(one.checks, pattern[:, number].tolist(), strict=True):
            answers = network.channel(name).answers
            findings.append(network.finding(name, (answers[answer],), "asked"))
        exact = float(marginals(posterior(network.prior, findings))[number])
        assert chance[number] - exact < 0.05
