"""Stop causes and the checks without load that clear them."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines

STOP = cause("leak", more="  danger: stop\n  harm: overpressure\n")
MESSAGE = (
    "causes/leak.yaml:1:1: on a car with the setup {} no check without load clears this; one must"
    " show it on 0.9 of the cars or more"
)


def _files(*checks: str, fault: str = STOP) -> dict[str, str]:
    return {"causes/leak.yaml": fault, "checks/leak.yaml": "".join(checks)}


def test_a_run_alone_does_not_clear_it(tmp_path: Path) -> None:
    files = _files(check(given="{leak: {bad: .95}}", more="  loads-engine: true\n"))
    assert lines("stop-uncleared", tmp_path, files) == [MESSAGE.format("external")]


def test_a_check_that_shows_it_too_seldom_does_not(tmp_path: Path) -> None:
    files = _files(check(given="{leak: {bad: .89}}"))
    assert lines("stop-uncleared", tmp_path, files) == [MESSAGE.format("external")]


def test_two_answers_together_do(tmp_path: Path) -> None:
    three = "{good: good, poor: poor, bad: bad}"
    files = _files(check(answers=three, given="{leak: {poor: .4, bad: .5}}"))
    assert lines("stop-uncleared", tmp_path, files) == []


def test_every_car_that_can_have_it_needs_one(tmp_path: Path) -> None:
    files = _files(check(given="{leak: {bad: .95}}", more="  needs: [external-gate]\n"))
    wanted = MESSAGE.format("manual, gate internal-gate")
    assert lines("stop-uncleared", tmp_path, files) == [wanted]


def test_what_breaks_otherwise_keeps_no_run_from_being_offered(tmp_path: Path) -> None:
    files = _files(check(), fault=STOP.replace("overpressure", "mechanical"))
    assert lines("stop-uncleared", tmp_path, files) == []
