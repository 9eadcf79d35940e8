from __future__ import annotations

import pytest

from expert.evidence.log.advice import STOP
from expert.evidence.log.features import measure
from expert.evidence.log.record import Recording
from tests.evidence.log.drives import (
    SPRING_KPA,
    bench,
    changed,
    flat,
    joined,
    made,
    thinned,
    without,
)


def of(recording: Recording, spring_kpa: float | None = SPRING_KPA, duty: bool = True) -> str:
    return "\n".join(measure(recording, spring_kpa, duty).advice)


WHOLE = joined(made(flat(69.0), noise_kpa=0.3), made(flat(90.0), duty=40.0, noise_kpa=0.3))


def test_a_log_that_shows_all_gets_no_advice() -> None:
    assert of(WHOLE) == ""


def test_a_pull_at_the_lowest_setting_with_its_limit() -> None:
    said = of(made(flat(90.0), duty=40.0))
    assert "0 % duty" in said
    assert "third gear" in said
    # 69 + 20 kPa.
    assert "Lift at once when boost passes 89" in said
    for word in ("every hose", "nothing says stop", "closed road or track", "dynamometer"):
        assert word in said


def test_without_a_solenoid_the_lowest_setting_is_set_by_hand() -> None:
    half = made(flat(69.0), seconds=1.5)
    assert "lowest boost that can be set" in of(half, duty=False)


def test_a_spring_that_is_not_known_comes_first() -> None:
    said = of(made(flat(90.0), duty=40.0), spring_kpa=None)
    assert "spring first" in said
    assert "20" in said


def test_more_duty_only_after_a_pull_without() -> None:
    said = of(made(flat(69.0), noise_kpa=0.3))
    assert "5 % more duty" in said
    assert "0 % duty fixed" not in said


@pytest.mark.parametrize("cause", ["signal-off", "solenoid-stuck-on", "spring-stiff"])
def test_too_much_boost_gets_no_pull(cause: str) -> None:
    assert measure(bench(cause), SPRING_KPA, True).advice == (STOP,)
    assert "full throttle" not in STOP


def test_channels_that_are_missed() -> None:
    said = of(without(WHOLE, "pedal", "target", "barometer"))
    assert "Log the pedal, the barometer and the boost target too." in said
    assert "the duty" not in of(without(WHOLE, "pedal", "duty"), duty=False)


def test_more_rows_a_second() -> None:
    assert "rows a second" in of(thinned(WHOLE, 4))
    assert "rows a second" not in of(WHOLE)


def test_the_key_on_part() -> None:
    rpm = WHOLE.values["rpm"]
    running = changed(WHOLE, rpm=rpm.clip(850.0))
    assert "key on" in of(running)
