"""Answers that no car of some setup can give."""

from __future__ import annotations

from pathlib import Path

from tests.rules.bench import check, lines

THREE = "{good: good, poor: poor, bad: bad}"
MESSAGE = (
    "on a car with the setup {} nothing gives this answer; add its cause, or say in 'healthy' how"
    " often a sound car gives it"
)


def test_an_answer_whose_cause_needs_a_part(tmp_path: Path) -> None:
    # A missing ring needs an external gate, and the check does not.
    given = "{hose-off: {bad: .9}, ring-missing: {poor: .5}}"
    files = {"checks/glance.yaml": check(answers=THREE, given=given)}
    assert lines("impossible-answer", tmp_path, files) == [
        f"checks/glance.yaml:4:25: {MESSAGE.format('manual, gate internal-gate')}"
    ]


def test_a_sound_car_may_give_it(tmp_path: Path) -> None:
    given = "{hose-off: {bad: .9}, ring-missing: {poor: .5}}"
    files = {
        "checks/glance.yaml": check(answers=THREE, given=given, healthy="{poor: .01, bad: .01}")
    }
    assert lines("impossible-answer", tmp_path, files) == []


def test_two_faults_may_give_it(tmp_path: Path) -> None:
    two_sided = "  kind: two-sided\n  low: [low]\n  high: [high]\n  both: {odd: .5, low: .5}\n"
    answers = "{low: low, good: good, high: high}"
    more = two_sided.replace("odd", "high")
    given = "{hose-off: {high: .9}, ring-missing: {low: .9}}"
    text = check(answers=answers, given=given, healthy="{}", more=more)
    (found,) = lines("impossible-answer", tmp_path, {"checks/glance.yaml": text})
    # The low answer, on cars without the ring; the high one comes from the hose on all.
    assert found == f"checks/glance.yaml:8:13: {MESSAGE.format('manual, gate internal-gate')}"


def test_flags_are_left_out_by_the_program_itself(tmp_path: Path) -> None:
    given = "{ring-missing: {bad: .5}}"
    more = "  kind: nominal\n"
    files = {"checks/glance.yaml": check(given=given, healthy="{}", more=more)}
    assert lines("impossible-answer", tmp_path, files) == []
