"""Ids that the tools share."""

from __future__ import annotations

from expert.rules.ids import FORM, GAPS, IDLE_EXCUSE


def test_gaps_are_those_of_the_tuners_tool() -> None:
    assert len(set(GAPS)) == 5
    assert "no-telling-apart" in GAPS
    assert {FORM, IDLE_EXCUSE}.isdisjoint(GAPS)
