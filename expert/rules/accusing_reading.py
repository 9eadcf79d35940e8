"""Checks that a log can answer for the worse only."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    answers: dict[str, list[tuple[str, str]]] = {}
    for name, reading in subject.knowledge.readings.items():
        if reading.check is not None and reading.answer is not None:
            answers.setdefault(reading.check, []).append((name, reading.answer))
    for check_id, readings in answers.items():
        check = subject.knowledge.checks[check_id]
        sound = check.sound_answer()
        if sound not in [answer for _, answer in readings]:
            place = subject.places.of("reading", readings[0][0])
            message = (
                f"a log can answer '{check_id}', but never with '{sound}'; add a reading for that"
            )
            yield Hit(place, message, ("check", check_id))


_CHECK = """\
old-log:
  ask: What does boost do in an old log?
  minutes: 3
  answers: {right: As it should, high: Too high}
  healthy: {high: .01}
  given:
    hose-off: {high: .9}
  basis: common practice
"""
_HIGH = """\
log-high:
  check: old-log
  answer: high
  when:
    peak-boost-kpa: {above: 90}
  basis: common practice
"""
_RIGHT = """\
log-right:
  check: old-log
  answer: right
  when:
    peak-boost-kpa: {up-to: 90}
  basis: common practice
"""

RULE = Rule(
    id="accusing-reading",
    severity="warning",
    summary="a log can answer a check, but never as a sound car does",
    why="The check is then asked again though the log has shown that all is well.",
    wrong={"checks/old.yaml": _CHECK, "readings.yaml": _HIGH},
    right={"checks/old.yaml": _CHECK, "readings.yaml": _RIGHT + _HIGH},
    find=_find,
)
