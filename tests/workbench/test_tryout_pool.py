"""Cases played on several processors come out as on one, in the order in which they were given."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.model import Expected, KnownCase
from expert.workbench import tryout_pool
from expert.workbench.tryout import outcomes
from expert.workbench.tryout_pool import FEW_CASES, all_outcomes, outcomes_of_each
from expert.workbench.tryout_quick import QuickConsultant
from tests.small import CHECKS, knowledge

RING = KnownCase(
    title="A car",
    setup="outer",
    symptoms=("lazy",),
    answers={"lamp": ("ring",)},
    rest="sound",
    expect=Expected(cause="ring-missing"),
    basis="invented",
)
KINDS = (
    RING,
    replace(RING, setup="inner", answers={"flap": ("stuck",)}),
    replace(RING, symptoms=("overboost",), answers={"hose-trace": ("hose-loose",)}),
)


@pytest.mark.parametrize("count", [1, FEW_CASES, FEW_CASES + 1, 3 * FEW_CASES])
def test_many_cases_come_out_as_one_by_one(count: int) -> None:
    cases = {f"case-{k}": KINDS[k % len(KINDS)] for k in range(count)}
    found = all_outcomes(knowledge(), cases)
    assert list(found) == list(cases)
    assert found == outcomes(QuickConsultant(knowledge()), cases)


@pytest.mark.parametrize("count", [1, FEW_CASES])
def test_two_sides_do_not_mix(count: int) -> None:
    lamp = replace(CHECKS["lamp"], given={"ring-missing": {"ring": 0.02}})
    sides = [
        (knowledge(), {f"case-{k}": KINDS[k % len(KINDS)] for k in range(count)}),
        (knowledge(checks={**CHECKS, "lamp": lamp}), {f"case-{k}": RING for k in range(count + 1)}),
    ]
    found = outcomes_of_each(sides)
    assert found == [outcomes(QuickConsultant(one), cases) for one, cases in sides]
    assert found[0]["case-0"] != found[1]["case-0"]


def test_few_cases_start_no_process(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(tryout_pool, "_by_processes")
    assert list(all_outcomes(knowledge(), {"a": RING})) == ["a"]


def test_cars_that_are_alike_go_together() -> None:
    cases = {"a": KINDS[1], "b": RING, "c": KINDS[2], "d": RING}
    groups = [list(group) for group in tryout_pool._alike(cases)]
    assert groups == [["b", "d"], ["a"], ["c"]]
