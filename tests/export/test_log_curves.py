from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from expert.evidence.log.findings import Shown
from expert.evidence.log.record import Features, LogFinding, Recording, Span
from expert.export.log_curves import ENGINE_SPEED, TIME, curves, telling
from expert.loading.folder import load, shipped_folder
from tests.export.logs import FEATURES, FINDINGS, recording


def test_only_pulls_with_evidence_are_drawn() -> None:
    (curve,) = curves(recording(), FEATURES, FINDINGS)
    assert curve.title == "pull 1, 0.0 to 3.9 s, gear 3, 0 % duty"
    assert curve.x_label == ENGINE_SPEED
    assert len(curve.x) == len(curve.boost_kpa) == 40


def test_a_mark_covers_the_engine_speeds_of_its_seconds() -> None:
    log = recording()
    (curve,) = curves(log, FEATURES, FINDINGS)
    (mark,) = curve.marks
    # The pull climbs evenly: 4,000 rpm in 39 steps of a tenth of a second.
    assert mark.from_x == pytest.approx(2000.0 + 20 * 4000.0 / 39, abs=1e-6)
    assert mark.to_x == pytest.approx(6000.0)
    assert mark.text == "boost climbs with rpm"


def test_without_evidence_the_pulls_are_drawn_in_order() -> None:
    drawn = curves(recording(), FEATURES, ())
    assert [curve.title.split(",")[0] for curve in drawn] == ["pull 1", "pull 2"]
    assert [curve.title.split(",")[0] for curve in curves(recording(), FEATURES, (), 1)] == [
        "pull 1"
    ]


def test_without_pulls_the_whole_log_is_drawn_over_time() -> None:
    log = recording()
    (curve,) = curves(log, Features((), {}), FINDINGS)
    assert curve.x_label == TIME
    assert_array_equal(curve.x, log.time_s)
    assert (curve.marks[0].from_x, curve.marks[0].to_x) == (2.0, 3.9)


def test_without_boost_there_is_nothing_to_draw() -> None:
    log = recording()
    bare = Recording(log.file, log.time_s, {"rpm": log.values["rpm"]}, ())
    assert curves(bare, FEATURES, FINDINGS) == []
    empty = Recording(log.file, np.empty(0), {"boost": np.empty(0)}, ())
    assert curves(empty, Features((), {}), ()) == []


def test_channels_that_are_missing_stay_missing() -> None:
    (curve,) = curves(recording(duty=False, target=False), FEATURES, FINDINGS)
    assert (curve.duty_pct, curve.target_kpa) == (None, None)


def test_a_mark_without_rpm_is_left_out() -> None:
    log = recording()
    log.values["rpm"][20:40] = np.nan
    (curve,) = curves(log, FEATURES, (LogFinding("x", "y", Span(2.5, 3.5), "z"),))
    assert curve.marks == ()


def test_what_a_sound_car_shows_as_well_tells_nothing() -> None:
    knowledge = load([shipped_folder()])
    sound = LogFinding("zero-duty-log", "about-spring", Span(0.0, 1.0), "1 kPa over the spring")
    rising = LogFinding("zero-duty-log", "rising", Span(2.0, 3.9), "12 kPa for each 1,000 rpm")
    creep = Shown("creep", Span(2.0, 3.9), "boost climbs")
    complaint, told = telling(knowledge, [sound, rising], [creep])
    assert complaint.because == f"{knowledge.symptoms['creep'].title} (boost climbs)"
    assert told.because == (
        "It reaches the spring, then climbs as rpm rises (12 kPa for each 1,000 rpm)"
    )
    assert told.span == rising.span
