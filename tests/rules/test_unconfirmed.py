"""Causes that no check can confirm, car by car."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import cause, check, lines

CAUSE = cause("leak")


def _files(*checks: str) -> dict[str, str]:
    return {"causes/leak.yaml": CAUSE, "checks/leak.yaml": "".join(checks)}


MESSAGE = (
    "on a car with the setup {} no check can confirm this; give one an answer with a share of 0.3"
    " or more that sound cars give 10 times less often"
)


def test_a_cause_that_no_check_names(tmp_path: Path) -> None:
    files = {"causes/leak.yaml": CAUSE}
    wanted = f"causes/leak.yaml:1:1: {MESSAGE.format('external')}"
    assert lines("unconfirmed", tmp_path, files) == [wanted]


def test_a_good_check_on_every_car_is_enough(tmp_path: Path) -> None:
    assert lines("unconfirmed", tmp_path, _files(check(given="{leak: {bad: .9}}"))) == []


def test_a_check_that_some_cars_cannot_do_leaves_the_others(tmp_path: Path) -> None:
    needs = "  needs: [external-gate]\n"
    files = _files(check(given="{leak: {bad: .9}}", more=needs))
    wanted = f"causes/leak.yaml:1:1: {MESSAGE.format('manual, gate internal-gate')}"
    assert lines("unconfirmed", tmp_path, files) == [wanted]
    inner = check("glimpse", given="{leak: {bad: .9}}", more="  needs: [internal-gate]\n")
    (tmp_path / "two").mkdir()
    files["checks/inner.yaml"] = inner
    assert lines("unconfirmed", tmp_path / "two", files) == []


def test_an_answer_that_sound_cars_give_as_well_is_not(tmp_path: Path) -> None:
    files = _files(check(given="{leak: {bad: .9}}", healthy="{bad: .2}"))
    assert len(lines("unconfirmed", tmp_path, files)) == 1


def test_a_rare_answer_is_not(tmp_path: Path) -> None:
    files = _files(check(given="{leak: {bad: .25}}", healthy="{bad: .001}"))
    assert len(lines("unconfirmed", tmp_path, files)) == 1


def test_what_is_as_designed_is_shown_by_its_own_checks(tmp_path: Path) -> None:
    designed = cause("as-designed:late", more="  danger: none\n  shown-by: {glance: [bad]}\n")
    files = {"causes/late.yaml": designed, "checks/leak.yaml": check()}
    assert lines("unconfirmed", tmp_path, files) == []
