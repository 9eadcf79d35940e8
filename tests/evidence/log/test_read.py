"""From bytes to a testimony: what is used, what is not, and what a log is judged by."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from expert.case.car import parts_of
from expert.errors import EXIT_DONE, EXIT_MISSING, EXIT_PROBLEMS
from expert.evidence.log import read
from expert.evidence.log.read import NO_BOOST, NO_PULL, NOT_LOADED, UNSEEN, Terms
from expert.evidence.log.record import Recording
from tests.evidence.log.benchlogs import KNOWN, SPRING_KPA, edited, text, written_to

PARTS = parts_of(KNOWN, "external-single", None, "manifold")
TERMS = Terms(PARTS, SPRING_KPA)


def answers(one: object) -> set[str]:
    return {f"{found.check}={found.answer}" for found in one.findings}  # type: ignore[attr-defined]


def test_a_path_and_its_bytes_say_the_same(tmp_path: Path) -> None:
    path = written_to(tmp_path, "signal-off")
    (by_path,) = read.testimony(KNOWN, TERMS, [path])
    by_bytes = read.testimony_of_bytes(KNOWN, TERMS, "mail.csv", path.read_bytes())
    assert by_path.symptoms == by_bytes.symptoms
    assert by_path.findings == by_bytes.findings
    assert (by_path.file, by_bytes.file) == (str(path), "mail.csv")
    assert by_path.symptoms[0].symptom == "overboost"
    assert (by_path.usable, by_path.code) == (True, EXIT_DONE)


def test_one_bad_file_does_not_stop_the_others(tmp_path: Path) -> None:
    files = [tmp_path / "missing.csv", written_to(tmp_path), tmp_path]
    found = read.testimony(KNOWN, TERMS, files)
    assert [one.usable for one in found] == [False, True, False]
    assert [one.code for one in found] == [EXIT_MISSING, EXIT_DONE, EXIT_MISSING]
    assert found[0].reason == "there is no such file."


def test_a_target_that_is_told_stands_in_for_one_of_the_log(tmp_path: Path) -> None:
    path = edited(tmp_path, "a.csv", "Boost target", "-")
    (without,) = read.testimony(KNOWN, TERMS, [path])
    assert without.features is not None
    assert without.features.measured["boost_under_target_kpa"].value is None
    (told,) = read.testimony(KNOWN, replace(TERMS, target_kpa=120.0), [path])
    assert told.features is not None
    value = told.features.measured["boost_under_target_kpa"].value
    assert value is not None
    # A sound car of the bench makes about 103 kPa, its own target.
    assert value == pytest.approx(120.0 - 99.0, abs=3.0)
    # It says nothing of the target in the map, which is not in the log.
    assert told.features.measured["target_below_told_kpa"].value is None
    (both,) = read.testimony(KNOWN, replace(TERMS, target_kpa=120.0), [written_to(tmp_path)])
    assert "throttle-log=target-low" in answers(both)


def test_boost_at_the_spring_is_a_complaint_where_more_was_wanted() -> None:
    log = text("as-designed:base-map").encode()
    assert read.testimony_of_bytes(KNOWN, TERMS, "a.csv", log).symptoms == ()
    wanted = read.testimony_of_bytes(KNOWN, replace(TERMS, target_kpa=103.0), "a.csv", log)
    assert [one.symptom for one in wanted.symptoms] == ["spring-ceiling"]


def test_the_margin_of_the_policy_is_what_overboost_means() -> None:
    log = text("spring-stiff").encode()
    found = read.testimony_of_bytes(KNOWN, TERMS, "a.csv", log)
    assert "overboost" in [one.symptom for one in found.symptoms]
    wide = replace(KNOWN, policy=replace(KNOWN.policy, overboost_margin_kpa=200.0))
    found = read.testimony_of_bytes(wide, TERMS, "a.csv", log)
    assert "overboost" not in [one.symptom for one in found.symptoms]


def test_a_log_of_nothing_but_idle_says_that_boost_is_not_judged() -> None:
    head = "\n".join(text().splitlines()[:140]) + "\n"
    one = read.testimony_of_bytes(KNOWN, TERMS, "idle.csv", head.encode())
    assert one.symptoms == ()
    assert answers(one) == {"key-on-pressure=within-2-kpa", "air-temperature=mild"}
    assert NOT_LOADED in one.notes


def recording(**values: float) -> Recording:
    time = np.arange(0.0, 30.0, 0.05)
    return Recording(
        "made.csv", time, {name: np.full(time.size, value) for name, value in values.items()}, ()
    )


def test_nothing_to_judge() -> None:
    without = read.testimony_of(KNOWN, TERMS, recording(rpm=3000.0))
    assert (without.usable, without.reason, without.code) == (False, NO_BOOST, EXIT_PROBLEMS)
    cruise = read.testimony_of(KNOWN, TERMS, recording(rpm=2500.0, boost=-40.0, pedal=15.0))
    assert (cruise.usable, cruise.reason, cruise.code) == (False, NO_PULL, EXIT_PROBLEMS)


def test_a_hand_controller_that_is_not_at_its_lowest_tells_nothing_of_the_lowest() -> None:
    parts = parts_of(KNOWN, "manual-ball", "external", None)
    log = text("signal-off").encode()
    anywhere = read.testimony_of_bytes(KNOWN, Terms(parts, SPRING_KPA), "a.csv", log)
    lowest = read.testimony_of_bytes(KNOWN, Terms(parts, SPRING_KPA, lowest=True), "a.csv", log)
    assert "zero-duty-log=well-above" not in answers(anywhere)
    assert "zero-duty-log=well-above" in answers(lowest)
    # Its own target stops the car all the same.
    assert anywhere.symptoms[0].symptom == lowest.symptoms[0].symptom == "overboost"


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.binary(max_size=400), cut=st.integers(0, 60_000))
def test_any_bytes_are_read_or_refused_in_a_sentence(data: bytes, cut: int) -> None:
    log = text().encode()
    for mixed in (data, log[:cut], log[:cut] + data + log[cut:]):
        one = read.testimony_of_bytes(KNOWN, TERMS, "any.csv", mixed)
        assert one.usable or one.reason
        assert not one.findings or one.usable


def test_a_sensor_that_is_off_leaves_boost_unknown_and_stops_the_car() -> None:
    one = read.testimony_of_bytes(KNOWN, TERMS, "a.csv", text("map-offset").encode())
    assert "key-on-pressure=off-more" in answers(one)
    assert not {"lazy", "overboost"} & {shown.symptom for shown in one.symptoms}
    assert not any(answer.startswith("zero-duty-log=") for answer in answers(one))


def test_a_sensor_that_sees_little_of_the_manifold_says_nothing_of_boost() -> None:
    one = read.testimony_of_bytes(KNOWN, TERMS, "a.csv", text("map-hose-off").encode())
    assert "log-trace=never-moves" in answers(one)
    assert one.symptoms == ()
    assert UNSEEN in one.notes
