"""Sets of cars: ``expert/loading/linking/cars.py``."""

from __future__ import annotations

from expert.loading.linking.cars import Cars
from expert.model import Plumbing


def plumbing(*parts: str, gates: tuple[str, ...] = ()) -> Plumbing:
    return Plumbing(title="t", what="w", parts=parts, gates=gates, basis="invented")


CARS = Cars(
    {"fixed": plumbing("turbo", "inner"), "free": plumbing("turbo", gates=("inner", "outer"))},
    {"valve": plumbing("blow-off")},
)


def names(cars: int) -> list[str]:
    found = []
    while cars:
        found.append(CARS.first(cars))
        cars &= cars - 1
    return found


def test_every_setup_with_each_gate_and_each_bypass_or_none() -> None:
    assert names(CARS.every) == [
        "fixed",
        "fixed, bypass valve",
        "free, gate inner",
        "free, gate inner, bypass valve",
        "free, gate outer",
        "free, gate outer, bypass valve",
    ]


def test_cars_with_parts() -> None:
    assert CARS.having("turbo") == CARS.having_all(()) == CARS.every
    assert CARS.having("nothing") == 0
    assert names(CARS.having("outer")) == ["free, gate outer", "free, gate outer, bypass valve"]
    assert names(CARS.having_all(("inner", "blow-off"))) == [
        "fixed, bypass valve",
        "free, gate inner, bypass valve",
    ]


def test_without_setups_there_are_no_cars() -> None:
    assert Cars({}, {"valve": plumbing("blow-off")}).every == 0
