"""Logs as events of a case: what stands of several, and what it means for driving."""

from __future__ import annotations

import pytest

from expert.case.consult import Consultant
from expert.case.events import Answered, Described, Event, Mended
from expert.case.logged import drive_of, log_events, looked_at, news, terms_of, with_logs
from expert.case.state import State, fold
from expert.errors import UsageError
from expert.loading.folder import load, shipped_folder
from tests.evidence.log.testimonies import BROKEN, HEALTHY, shows, told

KNOWN = load([shipped_folder()])
CAR: list[Event] = [Described("setup", "external-single"), Described("spring_kpa", 69.0)]


def test_a_log_gives_its_symptoms_and_its_answers_as_its_own() -> None:
    assert log_events(KNOWN, [told()]) == [
        Described("symptom", "lazy"),
        Answered("zero-duty-log", ("below",), "log"),
    ]
    assert log_events(KNOWN, [HEALTHY, BROKEN]) == []


def test_the_gravest_log_goes_first_and_the_gravest_answer_stands() -> None:
    low = shows("lazy", ("zero-duty-log", "below"), ("throttle-log", "full"))
    high = shows("overboost", ("zero-duty-log", "well-above"), ("throttle-log", "throttle-closes"))
    expected = [
        Described("symptom", "overboost"),
        Described("symptom", "lazy"),
        Answered("zero-duty-log", ("well-above",), "log"),
        Answered("throttle-log", ("throttle-closes",), "log"),
    ]
    for order in ([low, high], [high, low]):
        assert log_events(KNOWN, order) == expected


def test_flags_of_several_logs_add_up() -> None:
    logs = [shows("lazy", ("throttle-log", one)) for one in ("throttle-closes", "target-low")]
    assert log_events(KNOWN, logs)[-1] == Answered(
        "throttle-log", ("target-low", "throttle-closes"), "log"
    )


def test_an_answer_that_was_told_outlives_that_of_a_log() -> None:
    said = [*CAR, Answered("zero-duty-log", ("about-spring",)), Described("symptom", "creep")]
    state = fold(with_logs(said, log_events(KNOWN, [told()])))
    assert state.answers("zero-duty-log") == ("about-spring",)
    assert state.symptoms == ("creep", "lazy")


def test_the_terms_are_those_of_the_car() -> None:
    terms = terms_of(KNOWN, fold(CAR))
    assert {"external-gate", "boost-solenoid"} <= set(terms.parts)
    assert (terms.spring_kpa, terms.target_kpa, terms.lowest) == (69.0, None, False)
    with pytest.raises(UsageError, match="--setup"):
        terms_of(KNOWN, State())


def test_a_hand_controller_at_its_lowest_may_be_an_answer() -> None:
    manual: list[Event] = [Described("setup", "manual-ball"), Described("gate", "internal")]
    assert not terms_of(KNOWN, fold(manual)).lowest
    assert terms_of(KNOWN, fold(manual), lowest=True).lowest
    assert terms_of(KNOWN, fold([*manual, Answered("manual-controller", ("lowest",))])).lowest


def test_overboost_in_a_log_stops_the_car_whatever_else_is_said() -> None:
    consultant = Consultant(KNOWN)
    calm = [*CAR, Described("symptom", "lazy"), Answered("hose-trace", ("matches",)),
            Answered("red-flags", ("none",))]  # fmt: skip
    assert drive_of(consultant, fold(calm)).drive != "stop"
    shown = log_events(KNOWN, [shows("overboost")])
    state = fold(with_logs(calm, shown))
    assert drive_of(consultant, state).drive == "stop"
    consultation = looked_at(consultant, state)
    assert consultation is not None
    assert not consultation.gate.allowed


def test_without_a_complaint_the_answers_alone_say_it() -> None:
    consultant = Consultant(KNOWN)
    assert looked_at(consultant, fold(CAR)) is None
    assert drive_of(consultant, fold(CAR)).drive == "ok"
    caution = fold([*CAR, Answered("throttle-log", ("throttle-closes",), "log")])
    assert drive_of(consultant, caution).drive == "caution"
    stop = fold([*CAR, Answered("throttle-log", ("throttle-closes",), "log"),
                 Answered("key-on-pressure", ("off-more",), "log")])  # fmt: skip
    verdict = drive_of(consultant, stop)
    assert verdict.drive == "stop"
    assert len(verdict.because) == 1
    assert "key-on-pressure" in verdict.because[0]


def test_only_what_is_new_is_added() -> None:
    shown = log_events(KNOWN, [told()])
    assert news(CAR, shown) == shown
    assert news([*CAR, *shown], shown) == []
    other = Answered("zero-duty-log", ("late",), "log")
    assert news([*CAR, *shown], [*shown, other]) == [other]
    assert news([*CAR, Described("symptom", "lazy")], shown) == shown[1:]
    # After a repair the same answer is news.
    assert news([*CAR, *shown, Mended("seat-ring-missing")], shown) == shown[1:]
