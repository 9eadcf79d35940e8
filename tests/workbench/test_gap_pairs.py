"""Look-alikes and symptoms that are the same: ``expert/workbench/gap_pairs.py``."""

from __future__ import annotations

import numpy as np
import pytest

from expert.workbench.gap_pairs import look_alikes, often_together, same_symptoms, told_apart
from expert.workbench.strength import telling
from tests.workbench.gap_knowledge import BAD, car, cause, check

THREE = {"a": cause(), "b": cause(), "c": cause()}
ALL = {"lazy": {"a": 0.9, "b": 0.9, "c": 0.9}}
LOOK, SEE = check({"a": BAD, "b": BAD}), check({"a": {"odd": 0.3}, "b": {"odd": 0.5}})


def every(count: int) -> np.ndarray:
    return np.ones(count, bool)


def test_the_best_check_and_the_total_of_all() -> None:
    one = car(THREE, {"look": LOOK, "see": SEE}, ALL)
    apart = told_apart(one)
    look, see = (telling(shares) for shares in one.answers)
    assert apart.total == pytest.approx(look + see)
    assert apart.best == pytest.approx(np.maximum(look, see))
    assert apart.which.tolist() == [[-1, 1, 0], [1, -1, 0], [0, 0, -1]]


def test_only_a_pair_that_no_check_tells_apart_is_an_alike() -> None:
    one = car(THREE, {"look": LOOK, "see": SEE}, ALL)
    (alike,) = look_alikes(one, every(3), 3.0)
    assert alike.causes == ("a", "b")
    assert alike.check == "see"
    assert 0.0 < alike.decibans < 3.0
    assert alike.total == pytest.approx(alike.decibans)
    assert not list(look_alikes(one, every(3), alike.decibans))
    assert len(list(look_alikes(one, every(3), 100.0))) == 3
    assert not list(look_alikes(one, np.array([True, False, True]), 3.0))


def test_without_a_check_there_is_no_best() -> None:
    (alike,) = look_alikes(car({"b": cause(), "a": cause()}, {}, ALL), every(2), 3.0)
    assert alike == (("a", "b"), None, 0.0, 0.0)


def test_both_must_show_one_symptom_often() -> None:
    shares = {"lazy": {"a": 0.9, "b": 0.14, "c": 0.15}, "late": {"b": 0.9}}
    together = often_together(car(THREE, {"look": LOOK}, shares), every(3))
    assert np.argwhere(together).tolist() == [[0, 2]]


def test_symptoms_are_the_same_within_a_twentieth() -> None:
    shares = {"lazy": {"a": 0.9, "b": 0.5}, "late": {"a": 0.86, "b": 0.5}, "low": {"a": 0.8}}
    ((one, other, differs),) = same_symptoms(car(THREE, {"look": LOOK}, shares))
    assert (one, other) == (0, 1)
    assert differs == pytest.approx(0.04)


def test_symptoms_that_no_cause_of_the_car_shows_are_no_gap() -> None:
    assert not list(same_symptoms(car(THREE, {"look": LOOK}, {"lazy": {}, "late": {}})))
