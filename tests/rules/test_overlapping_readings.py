"""Sound and unsound for the same values."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rules.bench import check, lines

ANSWERS = "{good: good, bad: bad}"


def reading(name: str, answer: str, bounds: str, check: str = "glance") -> str:
    return f"{name}:\n  check: {check}\n  answer: {answer}\n  when: {bounds}\n  basis: invented\n"


@pytest.mark.parametrize(
    ("good", "bad", "meet"),
    [
        ("{peak-boost-kpa: {up-to: 90}}", "{peak-boost-kpa: {above: 90}}", False),
        ("{peak-boost-kpa: {up-to: 91}}", "{peak-boost-kpa: {above: 90}}", True),
        ("{peak-boost-kpa: {up-to: 91}}", "{onset-rpm: {above: 90}}", True),
        (
            "{peak-boost-kpa: {up-to: 91}, onset-rpm: {up-to: 4000}}",
            "{peak-boost-kpa: {above: 90}, onset-rpm: {above: 4000}}",
            False,
        ),
        ("{creep-kpa: {up-to: overboost-margin}}", "{creep-kpa: {above: 19}}", True),
        ("{creep-kpa: {up-to: overboost-margin}}", "{creep-kpa: {above: 20}}", False),
    ],
)
def test_bounds_that_meet(tmp_path: Path, good: str, bad: str, meet: bool) -> None:
    files = {
        "checks/glance.yaml": check(answers=ANSWERS),
        "readings.yaml": reading("one", "good", good) + reading("two", "bad", bad),
    }
    message = (
        "the same values can be 'good' here and 'bad' in 'two'; "
        "part them by a bound on one of the values"
    )
    wanted = [f"readings.yaml:1:1: {message}"] if meet else []
    assert lines("overlapping-readings", tmp_path, files) == wanted


def test_unsound_answers_may_meet_for_the_gravest_stands(tmp_path: Path) -> None:
    both = "{peak-boost-kpa: {above: 90}}"
    files = {
        "checks/glance.yaml": check(
            answers="{good: good, bad: bad, worse: worse}",
            given="{hose-off: {bad: .4, worse: .5}}",
        ),
        "readings.yaml": reading("one", "bad", both) + reading("two", "worse", both),
    }
    assert lines("overlapping-readings", tmp_path, files) == []


def test_readings_for_different_cars_do_not_meet(tmp_path: Path) -> None:
    good = reading("one", "good", "{onset-rpm: {above: 90}}")
    bad = reading("two", "bad", "{onset-rpm: {above: 90}}")
    files = {
        "checks/glance.yaml": check(),
        "readings.yaml": good.replace("  when", "  needs: [internal-gate]\n  when")
        + bad.replace("  when", "  needs: [external-gate]\n  when"),
    }
    assert lines("overlapping-readings", tmp_path, files) == []
