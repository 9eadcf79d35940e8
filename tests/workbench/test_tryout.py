"""Known cases on the small knowledge: how they are played, and what counts as a miss."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from expert.case.consult import Consultant
from expert.model import Expected, KnownCase
from expert.workbench.tryout import Outcome, beginning, misses, outcome, outcomes
from tests.small import knowledge


def case(answers: Mapping[str, tuple[str, ...]], cause: str, **changes: Any) -> KnownCase:
    base = KnownCase(
        title="A car",
        setup="outer",
        symptoms=("lazy",),
        answers=answers,
        expect=Expected(cause=cause),
        basis="invented",
    )
    return replace(base, **changes)


RING = case({"lamp": ("ring",)}, "ring-missing", rest="sound")


def played(known: KnownCase) -> Outcome:
    return outcome(Consultant(knowledge()), known)


def test_the_car_answers_what_it_is_asked_and_the_rest_is_sound() -> None:
    found = played(RING)
    assert found.named == "ring-missing"
    assert found.first[0] == "ring-missing"
    assert found.asked[-1] == ("lamp", ("ring",))
    assert dict(found.asked)["red-flags"] == ("none",)
    assert found.drive == "caution"
    assert found.wrong == ()
    assert misses(knowledge(), RING, found) == []


def test_what_is_not_told_is_unknown_unless_the_rest_is_sound() -> None:
    told = {
        "red-flags": ("none",),
        "what-changed": ("unknown",),
        "hose-trace": ("matches",),
        "lamp": ("ring",),
    }
    answers = dict(played(case(told, "ring-missing")).asked)
    assert answers["what-changed"] == ()
    silent = dict(played(case({}, "charge-leak")).asked)
    assert set(silent.values()) == {()}


def test_the_beginning_holds_the_car_and_its_complaints() -> None:
    two = case({}, "hose-off", symptoms=("lazy", "overboost"), spring_kpa=50.0, target_kpa=90.0)
    state = beginning(two)
    assert (state.setup, state.symptoms) == ("outer", ("lazy", "overboost"))
    assert (state.spring_kpa, state.target_kpa) == (50.0, 90.0)
    assert state.gate is None
    assert state.bypass is None


def test_another_cause_that_is_named_is_ruled_out_and_the_case_goes_on() -> None:
    misled = case({"lamp": ("ring",), "smoke": ("plume",)}, "charge-leak", rest="sound")
    found = played(misled)
    assert found.wrong[0] == "ring-missing"
    assert found.named == "charge-leak"
    never = replace(misled, expect=Expected(cause="charge-leak", never=("ring-missing",)))
    (miss,) = [one for one in misses(knowledge(), never, found) if one.aspect == "never"]
    assert (miss.expected, miss.found) == ("not ring-missing", "named on the way")
    assert miss.reasons.rival == "ring-missing"


def test_a_cause_that_is_not_named_is_a_miss_with_both_sides_weighed() -> None:
    lost = case({"lamp": ("ring",)}, "wheel-broken", rest="sound")
    found = replace(played(RING), named=None)
    (miss,) = misses(knowledge(), lost, found)
    assert (miss.aspect, miss.expected, miss.found) == ("cause", "wheel-broken", "the workshop")
    reasons = miss.reasons
    assert reasons.rival == "ring-missing"
    assert reasons.expected_chance is not None
    assert reasons.rival_chance is not None
    assert reasons.expected_chance < reasons.rival_chance
    (lamp,) = [row for row in reasons.rows if row.check == "lamp"]
    assert lamp.rival is not None
    assert lamp.expected < 0.0 < lamp.rival
    gaps = [abs(row.expected - (row.rival or 0.0)) for row in reasons.rows]
    assert gaps == sorted(gaps, reverse=True)


@pytest.mark.parametrize(
    ("expect", "aspect", "found"),
    [
        (Expected(cause="ring-missing", within=2), "within", "4"),
        (Expected(cause="ring-missing", drive="ok"), "drive", "caution"),
        (Expected(cause="ring-missing", doubtful=("lamp",)), "doubtful", "none"),
        (
            Expected(cause="ring-missing", never=("charge-leak",)),
            "never",
            "among the first 3",
        ),
    ],
)
def test_every_other_aspect_can_miss(expect: Expected, aspect: str, found: str) -> None:
    known = replace(RING, expect=expect)
    (miss,) = misses(knowledge(), known, played(RING))
    assert (miss.aspect, miss.found) == (aspect, found)


def test_a_bound_that_is_just_met_is_met() -> None:
    found = played(RING)
    known = replace(RING, expect=Expected(cause="ring-missing", within=len(found.asked)))
    assert misses(knowledge(), known, found) == []


def test_a_doubt_that_is_not_expected_is_a_miss() -> None:
    found = replace(played(RING), doubtful=("smoke",))
    (miss,) = misses(knowledge(), RING, found)
    assert (miss.aspect, miss.expected, miss.found) == ("doubtful", "none", "smoke")


def test_all_cases_by_their_ids() -> None:
    found = outcomes(Consultant(knowledge()), {"a": RING, "b": replace(RING, setup="inner")})
    assert list(found) == ["a", "b"]
    assert found["a"] == played(RING)
    assert found["b"].named is None
