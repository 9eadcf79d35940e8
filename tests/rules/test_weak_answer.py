"""Answers that say next to nothing."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import check, lines


def test_an_answer_that_sound_cars_give_as_often(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(healthy="{bad: .3}", given="{hose-off: {bad: .2}}")}
    (found,) = lines("weak-answer", tmp_path, files)
    # .2 + .8 * .3 = .44 of the cars with the cause, .3 of the others; with the slip, 1.5 times.
    assert found == (
        "checks/glance.yaml:5:18: sound cars answer 'bad' 0.3 of the time, and no cause shows it 2"
        " times as often (at most 1.5); lower this, or raise 'given'"
    )


def test_one_cause_that_shows_it_is_enough(tmp_path: Path) -> None:
    given = "{hose-off: {bad: .2}, ring-missing: {bad: .7}}"
    files = {"checks/glance.yaml": check(healthy="{bad: .3}", given=given)}
    assert lines("weak-answer", tmp_path, files) == []


def test_an_answer_that_half_of_all_give_may_rule_a_cause_out(tmp_path: Path) -> None:
    files = {"checks/glance.yaml": check(healthy="{bad: .5}", given="{hose-off: {bad: .98}}")}
    assert lines("weak-answer", tmp_path, files) == []
