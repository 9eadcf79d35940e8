from __future__ import annotations

import numpy as np
import pytest

from expert.evidence.log.duty import at_stop, most_duty, response, steady_duty
from expert.evidence.log.pulls import find
from expert.evidence.log.record import Recording
from expert.evidence.log.seen import Seen, seen
from expert.evidence.log.trace import traces
from tests.evidence.log.drives import bench, flat, joined, made, only_pull, without


def pulls(recording: Recording) -> list[Seen]:
    return [seen(one) for one in traces(recording, find(recording, has_duty=True))]


def test_the_duty_of_a_pull() -> None:
    found = steady_duty(only_pull(made(flat(90.0), duty=35.0)))
    assert (found.value, found.uncertainty) == (pytest.approx(35.0), pytest.approx(0.0))
    moving = steady_duty(only_pull(made(flat(90.0), duty=lambda into: 30.0 + 2.0 * into)))
    assert moving.uncertainty > 3.0
    assert steady_duty(only_pull(without(made(flat(90.0)), "duty"))).value is None


def test_boost_for_ten_per_cent_of_duty() -> None:
    drive = joined(
        made(flat(69.0), noise_kpa=0.5),
        made(flat(79.0), duty=20.0, noise_kpa=0.5),
        made(flat(89.0), duty=40.0, noise_kpa=0.5),
    )
    found = response(pulls(drive))
    assert found.value == pytest.approx(5.0, abs=0.2 + found.uncertainty)
    assert found.uncertainty < 1.0


def test_boost_that_gets_lower_as_duty_gets_higher() -> None:
    drive = joined(made(flat(90.0)), made(flat(70.0), duty=40.0))
    assert response(pulls(drive)).value == pytest.approx(-5.0, abs=0.1)


def test_pulls_that_did_not_settle_are_compared_at_the_same_rpm() -> None:
    drive = joined(
        made(lambda into: 20.0 * into, seconds=4.0, rpm=(2_000.0, 3_800.0)),
        made(lambda into: 28.0 * into, seconds=4.0, rpm=(2_000.0, 3_800.0), duty=40.0),
    )
    found = response(pulls(drive))
    # Near the top 30 kPa lie between them, at 40 %.
    assert found.value == pytest.approx(7.5, abs=0.8)


@pytest.mark.parametrize(
    ("drive", "word"),
    [
        (without(joined(made(flat(69.0)), made(flat(79.0), duty=20.0)), "duty"), "no duty"),
        (joined(made(flat(69.0)), made(flat(79.0), duty=4.0)), "about the same"),
        (made(flat(69.0)), "about the same"),
        (
            joined(
                made(lambda into: 20.0 * into, seconds=3.0, rpm=(2_000.0, 3_000.0)),
                made(lambda into: 20.0 * into, seconds=3.0, rpm=(4_000.0, 5_000.0), duty=40.0),
            ),
            "same rpm",
        ),
    ],
)
def test_what_cannot_be_told(drive: Recording, word: str) -> None:
    found = response(pulls(drive))
    assert found.value is None
    assert word in found.why


def test_the_highest_duty() -> None:
    drive = joined(made(flat(69.0)), made(flat(79.0), duty=62.0))
    assert most_duty(pulls(drive)).value == pytest.approx(62.0)
    assert most_duty([]).value is None
    assert "no duty" in most_duty(pulls(without(drive, "duty"))).why


def test_duty_at_its_stop_under_its_target() -> None:
    assert at_stop(only_pull(made(flat(70.0), duty=85.0)), 85.0).value == 1.0
    assert at_stop(only_pull(made(flat(99.0), duty=85.0)), 85.0).value == 0.0
    assert at_stop(only_pull(made(flat(70.0), duty=40.0)), 85.0).value == 0.0
    assert at_stop(only_pull(made(flat(70.0), duty=0.0)), 0.0).value == 0.0


def test_what_the_stop_needs() -> None:
    drive = made(flat(70.0), duty=85.0)
    assert "no duty" in at_stop(only_pull(without(drive, "duty")), None).why
    assert "target" in at_stop(only_pull(without(drive, "target")), 85.0).why
    rising = made(lambda into: 20.0 * into, seconds=2.5, duty=85.0)
    assert "rising" in at_stop(only_pull(rising), 85.0).why


def test_simulated_cars() -> None:
    sound, dead = response(pulls(bench())), response(pulls(bench("solenoid-dead")))
    assert sound.value is not None and dead.value is not None
    assert sound.value - sound.uncertainty > 4.0
    assert abs(dead.value) + dead.uncertainty < 1.0
    trapped = pulls(bench("seat-ring-missing"))[1]
    assert at_stop(trapped, most_duty([trapped]).value).value == 1.0
    assert np.isclose(most_duty([trapped]).value or 0.0, 85.0, atol=1.0)
