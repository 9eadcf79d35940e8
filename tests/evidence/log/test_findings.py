"""Values to answers: bounds, uncertainty on both sides of one, and what stands of several."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.features import NAMES
from expert.evidence.log.findings import (
    SENSOR_ERROR_KPA,
    Judged,
    judge,
    standing_answers,
    told,
)
from expert.evidence.log.record import Features, Measured, Span
from expert.evidence.log.related import related
from expert.loading.folder import load, shipped_folder
from expert.model import FEATURES, Bounds, Knowledge, LogReading

SHIPPED = load([shipped_folder()])
WHOLE = Span(0.0, 60.0)
SEEN = Span(10.0, 12.5)
PARTS = frozenset({"boost-solenoid", "map-sensor", "throttle"})


def reading(
    answer: str | None, symptom: str | None = None, **when: tuple[float | str | None, ...]
) -> LogReading:
    bounds = {
        name.replace("_", "-"): Bounds(above=above, up_to=up_to)  # type: ignore[arg-type]
        for name, (above, up_to) in when.items()
    }
    return LogReading(
        check="zero-duty-log" if answer else None,
        answer=answer,
        symptom=symptom,
        when=bounds,
        basis="invented",
    )


def knowledge(*readings: LogReading) -> Knowledge:
    return replace(SHIPPED, readings={f"reading-{n}": one for n, one in enumerate(readings)})


def judged(known: Knowledge, **values: Measured) -> Judged:
    return judge(known, PARTS, Features((), values), WHOLE)


def over(value: float, uncertainty: float = 1.0) -> Measured:
    return Measured(value, uncertainty, SEEN)


BINS = knowledge(
    reading("below", boost_over_spring_kpa=(None, -14.0)),
    reading("about-spring", boost_over_spring_kpa=(-14.0, 20.0)),
    reading("well-above", boost_over_spring_kpa=(20.0, None)),
)


@pytest.mark.parametrize(
    ("value", "answer"),
    [(-40.0, "below"), (-15.0, "below"), (-12.9, "about-spring"), (19.0, "about-spring"),
     (21.1, "well-above")],
)  # fmt: skip
def test_a_value_within_bounds_is_an_answer_with_its_seconds(value: float, answer: str) -> None:
    found = judged(BINS, boost_over_spring_kpa=over(value))
    assert [(one.check, one.answer, one.span) for one in found.findings] == [
        ("zero-duty-log", answer, SEEN)
    ]
    assert found.unsure == ()


@pytest.mark.parametrize("value", [-14.9, -14.0, -13.1, 19.1, 20.0, 20.9])
def test_a_value_on_either_side_of_a_bound_tells_nothing_and_says_so(value: float) -> None:
    found = judged(BINS, boost_over_spring_kpa=over(value))
    assert found.findings == ()
    assert [one.checks for one in found.unsure] == [("zero-duty-log",)]
    assert "which may be on either side of" in found.unsure[0].because


@given(st.floats(-300, 300), st.floats(0, 50))
def test_one_answer_at_most_and_never_one_that_the_interval_leaves(
    value: float, uncertainty: float
) -> None:
    found = judged(BINS, boost_over_spring_kpa=over(value, uncertainty))
    edges = {"below": (-1e9, -14.0), "about-spring": (-14.0, 20.0), "well-above": (20.0, 1e9)}
    for one in found.findings:
        low, high = edges[one.answer]
        assert low <= value - uncertainty
        assert value + uncertainty <= high
    assert len(found.findings) + len(found.unsure) == 1


def test_what_was_not_measured_is_told_with_its_reason() -> None:
    missing = Measured(None, why="no pull at 0 % duty is in the log")
    found = judged(BINS, boost_over_spring_kpa=missing)
    assert found.findings == ()
    assert [one.because for one in found.unsure] == ["No pull at 0 % duty is in the log."]
    assert judged(BINS).unsure[0].because == "Nothing in the log shows it."


def test_the_margin_is_that_of_the_policy() -> None:
    known = knowledge(reading(None, "overboost", boost_over_spring_kpa=("overboost-margin", None)))
    wide = replace(known, policy=replace(known.policy, overboost_margin_kpa=40.0))
    assert judged(known, boost_over_spring_kpa=over(30)).symptoms[0].symptom == "overboost"
    assert judged(wide, boost_over_spring_kpa=over(30)).symptoms == ()


def test_what_is_within_the_error_of_a_sensor_of_the_margin_means_stop() -> None:
    def shows(symptom: str, value: float) -> bool:
        one = reading(None, symptom, boost_over_spring_kpa=("overboost-margin", None))
        return bool(judged(knowledge(one), boost_over_spring_kpa=over(value, 0.5)).symptoms)

    margin_kpa = SHIPPED.policy.overboost_margin_kpa
    assert shows("overboost", margin_kpa - SENSOR_ERROR_KPA + 0.6)
    assert not shows("overboost", margin_kpa - SENSOR_ERROR_KPA - 0.6)
    # A complaint that may be driven with is shown where it is certain.
    assert not shows("spike", margin_kpa - SENSOR_ERROR_KPA + 0.6)
    assert shows("spike", margin_kpa + 0.6)


def test_boost_that_was_far_from_settled_at_the_end_of_the_pull_means_stop() -> None:
    rising = Measured(40.0, 2.0, SEEN)
    found = judged(SHIPPED, boost_end_over_spring_kpa=over(16.0), rises_at_end_pct=rising)
    assert [one.symptom for one in found.symptoms] == ["overboost"]
    settled = Measured(0.0, 2.0, SEEN)
    found = judged(SHIPPED, boost_end_over_spring_kpa=over(16.0), rises_at_end_pct=settled)
    assert "overboost" not in [one.symptom for one in found.symptoms]


def test_the_first_reading_that_holds_names_the_main_symptom() -> None:
    creeping = reading(None, "creep", creep_kpa=(10.0, None))
    high = reading(None, "overboost", peak_boost_kpa=(100.0, None))
    values = {"creep_kpa": over(20), "peak_boost_kpa": over(150)}
    for order in ((creeping, high), (high, creeping)):
        found = judged(knowledge(*order), **values)
        assert [one.symptom for one in found.symptoms] == [one.symptom for one in order]


def test_all_bounds_must_hold_but_those_of_what_is_missing_may_be_left() -> None:
    strict = reading("below", boost_over_spring_kpa=(None, -14.0), creep_kpa=(None, 10.0))
    assert judged(knowledge(strict), boost_over_spring_kpa=over(-40)).findings == ()
    easy = replace(
        strict,
        when={"boost-over-spring-kpa": Bounds(up_to=-14.0)},
        if_measured={"creep-kpa": Bounds(up_to=10.0)},
    )
    low = over(-40)
    assert judged(knowledge(easy), boost_over_spring_kpa=low).findings
    assert judged(knowledge(easy), boost_over_spring_kpa=low, creep_kpa=over(5)).findings
    assert not judged(knowledge(easy), boost_over_spring_kpa=low, creep_kpa=over(30)).findings


def test_a_car_without_the_parts_is_not_judged() -> None:
    known = knowledge(replace(reading("below", boost_over_spring_kpa=(None, 0.0)),
                              needs=("manual-controller",)))  # fmt: skip
    assert judged(known, boost_over_spring_kpa=over(-40)) == Judged((), (), ())
    duty = replace(reading("calm", hunting_kpa=(None, 5.0)), check="duty-trace")
    without = judge(knowledge(duty), frozenset(), Features((), {"hunting_kpa": over(1)}), WHOLE)
    assert without.findings == ()


def test_of_several_answers_the_gravest_stands_and_of_flags_all() -> None:
    graded, nominal = SHIPPED.checks["key-on-pressure"], SHIPPED.checks["throttle-log"]
    two_sided = SHIPPED.checks["zero-duty-log"]
    assert standing_answers(graded, ["within-2-kpa", "off-more"]) == ("off-more",)
    assert standing_answers(two_sided, ["late", "below", "about-spring"]) == ("below",)
    assert standing_answers(two_sided, ["below", "well-above"]) == ("well-above",)
    flags = ["full", "throttle-closes", "target-low"]
    assert standing_answers(nominal, flags) == ("target-low", "throttle-closes")
    assert standing_answers(nominal, ["full"]) == ("full",)
    assert standing_answers(nominal, []) == ()


@pytest.mark.parametrize("feature", FEATURES)
def test_every_value_is_shown_with_its_unit(feature: str) -> None:
    text = told(feature, 1.0, 0.5)
    switch = feature in {"throttle-closed", "duty-at-stop"}
    assert text == "yes" if switch else "\N{PLUS-MINUS SIGN}" in text
    assert told(feature, 0.0)


def test_values_read_as_people_write_them() -> None:
    hard = "\N{NO-BREAK SPACE}"
    assert told("peak-boost-kpa", 69.0) == f"69{hard}kPa (10{hard}psi)"
    assert told("onset-rpm", 2345.6, 30.0) == f"2346 \N{PLUS-MINUS SIGN} 30{hard}rpm"
    assert told("settling-s", 0.456, 0.1) == f"0.46 \N{PLUS-MINUS SIGN} 0.10{hard}s"
    assert told("throttle-closed", 1.0) == "yes"


# The readings that are shipped.


def test_the_shipped_answers_of_the_lowest_setting_leave_no_gap() -> None:
    """Any boost without creep is one of the answers, unless it lies on an edge."""
    edges = [-200.0, -13.9, 20.1, 400.0]
    middles = [(low + high) / 2 for low, high in pairwise(edges)]
    answers = []
    for middle in middles:
        found = judged(
            SHIPPED,
            boost_over_spring_kpa=over(middle),
            creep_kpa=over(0.0),
            near_spring_rpm=over(2500.0, 20.0),
        )
        answers += [one.answer for one in found.findings if one.check == "zero-duty-log"]
    assert answers == ["below", "about-spring", "well-above"]


def test_boost_far_above_the_spring_is_overboost_before_anything_else() -> None:
    found = judged(
        SHIPPED,
        boost_over_spring_kpa=over(60),
        creep_kpa=over(0),
        overshoot_kpa=over(40),
        throttle_closed=over(1, 0),
    )
    assert found.symptoms[0].symptom == "overboost"


def test_a_hand_controller_at_its_lowest_setting_is_no_ceiling() -> None:
    """Boost is held against the spring only where it is said that it stood there."""
    parts = frozenset({"manual-controller", "map-sensor", "throttle"})
    values = {"steady_over_spring_kpa": over(2.0), "boost_under_target_kpa": over(30.0)}
    for boost_over_spring, shown in ((Measured(None, why="not said"), True), (over(2.0), False)):
        told = {**values, "boost_over_spring_kpa": boost_over_spring}
        found = judge(SHIPPED, parts, Features((), told), WHOLE)
        assert ("spring-ceiling" in [one.symptom for one in found.symptoms]) == shown


def test_readings_may_name_whatever_is_measured_and_nothing_else() -> None:
    names = {*NAMES, *related({}, None, None)}
    assert {name.replace("_", "-") for name in names} == set(FEATURES)
