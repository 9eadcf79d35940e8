from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.signal import find_peaks

from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.seen import seen
from expert.evidence.log.swing import (
    IRREGULAR,
    Swing,
    chance,
    duty_swing_pct,
    spectral_peak,
    swing_of,
)
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import (
    bench,
    changed,
    flat,
    made,
    only_pull,
    step_response,
    thinned,
    without,
)


def test_the_line_of_a_sine() -> None:
    # 5 sin(2 pi 2.5 t) at 20 Hz over 10 s: 2.5 Hz, amplitude 5.0 (numpy.fft.rfft agrees).
    time = np.arange(200) / 20.0
    values = 5.0 * np.sin(2.0 * math.pi * 2.5 * time)
    peak = spectral_peak(time, values, 0.2, 8.0)
    assert peak is not None
    assert peak.hz == pytest.approx(2.5, abs=0.005)
    assert peak.amplitude == pytest.approx(5.0, abs=0.01)
    spectrum = np.abs(np.fft.rfft(values)) * 2.0 / 200.0
    assert np.fft.rfftfreq(200, 0.05)[int(np.argmax(spectrum))] == pytest.approx(2.5)
    assert spectrum.max() == pytest.approx(5.0)


def test_the_line_of_a_sine_in_uneven_samples() -> None:
    # The same by Lomb and Scargle on 150 uneven samples: 2.50 Hz.
    time = np.sort(np.random.default_rng(1).uniform(0.0, 10.0, 150))
    peak = spectral_peak(time, 5.0 * np.sin(2.0 * math.pi * 2.5 * time), 0.2, 6.0)
    assert peak is not None
    assert peak.hz == pytest.approx(2.5, abs=0.005)
    assert peak.amplitude == pytest.approx(5.0, abs=0.05)


def test_the_interval_of_the_frequency_holds_it() -> None:
    inside = 0
    for seed in range(60):
        draw = np.random.default_rng(seed)
        time = np.sort(draw.uniform(0.0, 8.0, 160))
        values = 4.0 * np.sin(2.0 * math.pi * 1.3 * time + seed) + draw.normal(0.0, 3.0, 160)
        peak = spectral_peak(time, values, 0.3, 4.0)
        assert peak is not None
        inside += abs(peak.hz - 1.3) <= peak.doubt_hz
    assert 52 <= inside <= 60


def test_noise_alone_is_no_swing() -> None:
    false = 0
    for seed in range(60):
        draw = np.random.default_rng(seed)
        time = np.arange(160) / 20.0
        peak = spectral_peak(time, draw.normal(0.0, 3.0, 160), 0.3, 8.0)
        assert peak is not None
        false += chance(peak, 160, 7.7 * 8.0) < 1e-3
    assert false <= 1


def test_no_line_in_nothing() -> None:
    time = np.arange(40) / 20.0
    assert spectral_peak(time, np.zeros(40), 0.5, 5.0) is None
    assert spectral_peak(time[:8], np.sin(time[:8]), 0.5, 5.0) is None
    assert spectral_peak(time, np.sin(time), 5.0, 0.5) is None


@pytest.mark.parametrize("hz", [20.0, 40.0])
@pytest.mark.parametrize("noise_kpa", [0.0, 1.0, 3.0])
@pytest.mark.parametrize("period_s", [0.4, 0.8, 1.6])
def test_period_and_size(period_s: float, noise_kpa: float, hz: float) -> None:
    def curve(into: np.ndarray) -> np.ndarray:
        size = np.clip(into - 1.0, 0.0, 1.0) * 12.0
        rise = 90.0 * np.clip(into, 0.0, 1.0)
        return rise + size * np.sin(2.0 * math.pi * into / period_s)

    found = swing_of(only_pull(made(curve, noise_kpa=noise_kpa, hz=hz)))
    assert found.period_s.value is not None and found.kpa.value is not None
    assert found.period_s.value == pytest.approx(
        period_s, abs=0.01 * period_s + found.period_s.uncertainty
    )
    assert found.kpa.value == pytest.approx(24.0, abs=2.0 + 2.0 * found.kpa.uncertainty)


@pytest.mark.parametrize(
    "curve",
    [
        flat(80.0),
        step_response(80.0, 0.3, 6.0),
        lambda into: np.minimum(80.0 * into, 80.0 + 5.0 * (into - 1.0)),
    ],
    ids=["steady", "rings and settles", "creeps"],
)
@pytest.mark.parametrize("noise_kpa", [0.0, 0.6, 2.0])
def test_what_does_not_swing(curve: object, noise_kpa: float) -> None:
    found = swing_of(only_pull(made(curve, noise_kpa=noise_kpa)))  # type: ignore[arg-type]
    assert found.period_s.value is None
    assert found.kpa.value == 0.0
    assert found.kpa.uncertainty < 4.0 + 4.0 * noise_kpa


def test_too_few_rows_a_second_say_so() -> None:
    drive = made(lambda into: 80.0 + 20.0 * np.sin(2.0 * math.pi * into / 0.43), hz=4.0)
    found = swing_of(only_pull(drive))
    assert found.period_s.value is None
    assert found.kpa.value is None
    assert found.kpa.why == IRREGULAR


def test_a_short_pull_says_so() -> None:
    found = swing_of(only_pull(made(flat(60.0), seconds=2.0)))
    assert "short" in found.kpa.why or "few" in found.kpa.why


def swinging(leads_s: float) -> Recording:
    period = 0.8
    wave = 2.0 * math.pi / period
    return made(
        lambda into: 90.0 + 15.0 * np.sin(wave * (into - leads_s)),
        duty=lambda into: 40.0 + 20.0 * np.sin(wave * into),
        hz=40.0,
    )


@pytest.mark.parametrize("leads_s", [-0.3, -0.15, 0.1, 0.2, 0.3])
def test_what_moves_first(leads_s: float) -> None:
    found = swing_of(only_pull(swinging(leads_s))).duty_leads_s
    assert found.value == pytest.approx(leads_s, abs=0.03)


def test_duty_that_stands_still_leads_nothing() -> None:
    drive = made(lambda into: 90.0 + 15.0 * np.sin(8.0 * into), duty=40.0)
    assert "does not swing" in swing_of(only_pull(drive)).duty_leads_s.why
    assert duty_swing_pct(only_pull(drive)) == 0.0
    assert duty_swing_pct(only_pull(swinging(0.2))) == pytest.approx(40.0, abs=2.0)
    assert "no duty" in swing_of(only_pull(without(drive, "duty"))).duty_leads_s.why
    assert duty_swing_pct(only_pull(without(drive, "duty"))) is None


def swings(recording: Recording) -> list[Swing]:
    return [swing_of(seen(one)) for one in traces(recording, find(recording, has_duty=True))]


def test_an_aggressive_loop_swings_with_its_period() -> None:
    drive = bench("loop-aggressive")
    at_rest, mapped, _ = swings(drive)
    assert at_rest.period_s.value is None
    assert mapped.period_s.value is not None and mapped.kpa.value is not None
    # The time from top to top, counted by a peak finder of scipy.
    pull = find(drive, has_duty=True)[1]
    steady = slice(pull.first + 45, pull.last - 4)
    tops, _ = find_peaks(drive.values["boost"][steady], prominence=20.0)
    apart = np.diff(drive.time_s[steady][tops])
    assert len(apart) > 6
    assert mapped.period_s.value == pytest.approx(
        float(np.mean(apart)), abs=0.02 + mapped.period_s.uncertainty
    )
    assert mapped.kpa.value > 25.0
    assert mapped.duty_leads_s.value is not None
    assert mapped.duty_leads_s.value > 0.0


def test_a_slow_log_of_it_claims_no_calm() -> None:
    _, mapped, _ = swings(thinned(bench("loop-aggressive"), 5))
    assert mapped.kpa.value is None or mapped.kpa.value > 12.0


def test_blank_cells_do_not_matter() -> None:
    drive = bench("loop-aggressive")
    draw = np.random.default_rng(2)
    boost = np.where(draw.random(drive.time_s.size) < 0.2, np.nan, drive.values["boost"])
    _, mapped, _ = swings(changed(drive, boost=boost))
    expected = swings(drive)[1].period_s.value
    assert mapped.period_s.value == pytest.approx(expected, abs=0.03)
