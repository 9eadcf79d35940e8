from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.throttle import Closing, closing, opening
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import PULL_FROM_S, bench, changed, flat, made, without


def of(recording: Recording) -> Closing:
    return closing(traces(recording, find(recording, has_duty=True)))


def test_a_throttle_that_closes_with_the_pedal_flat() -> None:
    drive = made(lambda into: 20.0 * into, throttle=lambda into: np.where(into > 6.0, 12.0, 100.0))
    found = of(drive)
    assert found.closed.value == 1.0
    assert found.least_pct.value == pytest.approx(12.0, abs=1.0)
    assert found.at_kpa.value == pytest.approx(120.0, abs=4.0)
    assert found.closed.span is not None
    assert found.closed.span.from_s == pytest.approx(PULL_FROM_S + 6.0, abs=0.15)


def test_a_throttle_that_stays_open() -> None:
    found = of(made(flat(69.0)))
    assert found.closed.value == 0.0
    assert found.least_pct.value == pytest.approx(100.0, abs=1.0)
    assert "did not close" in found.at_kpa.why


def test_a_throttle_that_never_opens() -> None:
    found = of(made(flat(40.0), throttle=33.0))
    assert found.closed.value == 1.0
    assert found.least_pct.value == pytest.approx(33.0)
    assert "from the start" in found.at_kpa.why


def test_a_lift_is_no_closing() -> None:
    drive = made(flat(69.0))
    into = drive.time_s - PULL_FROM_S
    early = np.where((into > 9.85) & (into < 10.0), 10.0, drive.values["throttle"])
    assert of(changed(drive, throttle=early)).closed.value == 0.0


def test_a_throttle_at_85_per_cent_is_open() -> None:
    drive = made(flat(69.0), throttle=lambda into: np.where(into < 5.0, 85.0, 100.0))
    assert of(drive).closed.value == 0.0


def test_what_cannot_be_told() -> None:
    drive = made(flat(69.0))
    assert "no pedal" in of(without(drive, "pedal")).closed.why
    assert "no throttle" in of(without(drive, "throttle")).closed.why
    assert "no full-throttle pull" in closing([]).closed.why


def test_simulated_cars() -> None:
    assert of(bench()).closed.value == 0.0
    runs = of(bench("signal-off"))
    assert runs.closed.value == 1.0
    assert runs.at_kpa.value is not None and runs.at_kpa.value > 110.0
    short = of(bench("throttle-short"))
    assert short.closed.value == 1.0
    assert short.least_pct.value is not None and 20.0 < short.least_pct.value < 45.0


def test_how_far_it_opens() -> None:
    def most(recording: Recording) -> float | None:
        return opening(traces(recording, find(recording, has_duty=True))).value

    drive = made(flat(40.0), throttle=33.0)
    assert most(drive) == pytest.approx(33.0, abs=0.5)
    closes = made(flat(69.0), throttle=lambda into: np.where(into > 6.0, 12.0, 100.0))
    assert most(closes) == pytest.approx(100.0, abs=0.5)
    assert most(without(drive, "pedal")) is None
    assert most(without(drive, "throttle")) is None
    assert "no full-throttle pull" in opening([]).why
