from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.seen import seen
from expert.evidence.log.target import Aim, aim_of, tops_of
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, flat, made, only_pull, step_response, without


@pytest.mark.parametrize("level", [70.0, 95.0])
def test_boost_that_stays_under_its_target(level: float) -> None:
    found = aim_of(only_pull(made(flat(level), noise_kpa=0.5)))
    assert found.under.value == pytest.approx(100.0 - level, abs=0.5 + found.under.uncertainty)


def test_boost_that_stays_over_its_target() -> None:
    found = aim_of(only_pull(made(flat(125.0), noise_kpa=0.5)))
    assert found.over.value == pytest.approx(25.0, abs=1.0)


def test_a_spike_and_swings_are_no_boost_over_target() -> None:
    spike = aim_of(only_pull(made(step_response(99.0, 0.4, 6.0))))
    swing = aim_of(only_pull(made(lambda into: 99.0 + 25.0 * np.sin(8.0 * into))))
    assert spike.over.value is not None and swing.over.value is not None
    assert spike.over.value < 2.0
    assert swing.over.value < 5.0


def test_boost_that_was_cut_off_on_its_way_up_counts_with_the_most_it_got_to() -> None:
    runs = made(lambda into: 40.0 * into, throttle=lambda into: np.where(into > 3.3, 10.0, 100.0))
    found = aim_of(only_pull(runs))
    assert found.over.value == pytest.approx(32.0, abs=4.0)


def test_boost_that_never_passes_its_target_is_not_over_it() -> None:
    assert aim_of(only_pull(made(flat(80.0)))).over.value == 0.0


def test_what_cannot_be_told() -> None:
    found = aim_of(only_pull(without(made(flat(80.0)), "target")))
    assert "target" in found.under.why and "target" in found.over.why
    short = aim_of(only_pull(made(lambda into: 20.0 * into, seconds=2.5)))
    assert "rising" in short.under.why


def aims(recording: Recording) -> list[Aim]:
    return [aim_of(seen(one)) for one in traces(recording, find(recording, has_duty=True))]


def test_simulated_cars() -> None:
    sound, leaking, stuck = (
        aims(bench(*causes))[1] for causes in ((), ("seat-ring-missing",), ("solenoid-stuck-on",))
    )
    assert sound.under.value is not None and sound.over.value is not None
    assert abs(sound.under.value) < 8.0
    assert sound.over.value < 5.0
    assert leaking.under.value is not None and leaking.under.value > 80.0
    assert stuck.over.value is not None and stuck.over.value > 20.0


def test_the_usual_top_of_a_swing_over_its_target() -> None:
    swing = made(lambda into: np.minimum(60.0 * into, 100.0 + 25.0 * np.sin(8.0 * into)))
    found = tops_of(only_pull(swing))
    assert found.value == pytest.approx(25.0, abs=2.0)
    assert "not swing often" in tops_of(only_pull(made(flat(95.0)))).why
    assert "no boost target" in tops_of(only_pull(without(swing, "target"))).why
