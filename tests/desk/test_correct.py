"""Corrections: ``expert/desk/correct.py``."""

from __future__ import annotations

import pytest

from expert.case.events import Answered, Described, Event, Opened
from expert.case.state import fold
from expert.desk.correct import corrections, dropped
from expert.errors import UsageError

CASE: list[Event] = [
    Opened("d"),
    Described("symptom", "overboost"),
    Described("symptom", "flutter"),
    Described("spring_kpa", 48.0),
    Answered("solenoid-click", ("crisp",), "mail"),
]


def test_a_symptom_that_was_misread_goes_and_the_rest_stays() -> None:
    state = fold([*CASE, *dropped(CASE, "overboost")])
    assert state.symptoms == ("flutter",)
    assert (state.spring_kpa, state.answers("solenoid-click")) == (48.0, ("crisp",))


def test_an_answer_that_was_misread_is_unknown() -> None:
    assert fold([*CASE, *dropped(CASE, "solenoid-click")]).answers("solenoid-click") == ()


def test_what_is_not_there_cannot_be_dropped() -> None:
    with pytest.raises(UsageError, match="is not in this case"):
        dropped(CASE, "creep")


def test_a_symptom_that_is_said_goes_first() -> None:
    said = [Described("symptom", "creep"), Answered("seat-ring", ("none",))]
    state = fold([*CASE, *corrections(CASE, said, ["overboost"])])
    assert state.symptoms == ("creep", "flutter")
    finding = state.finding("seat-ring")
    assert finding is not None
    assert finding.origin == "mail"


def test_what_a_log_has_shown_can_be_dropped_too() -> None:
    shown: list[Event] = [*CASE, Answered("limits-compared", ("far-over",), "log")]
    assert fold(shown).answers("limits-compared") == ("far-over",)
    dropping = dropped(shown, "limits-compared")
    assert fold([*shown, *dropping]).answers("limits-compared") == ()
