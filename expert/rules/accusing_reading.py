"""Checks that a log can answer for the worse only."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.readings import EXAMPLE, by_check, example
from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    for check_id, readings in by_check(subject.knowledge).items():
        sound = subject.knowledge.checks[check_id].sound_answer()
        if sound not in [reading.answer for _, reading in readings]:
            place = subject.places.of("reading", readings[0][0])
            message = (
                f"a log can answer '{check_id}', but never with '{sound}'; add a reading for that"
            )
            yield Hit(place, message, ("check", check_id))


_HIGH = example("high", "above: 90")

RULE = Rule(
    id="accusing-reading",
    severity="warning",
    summary="a log can answer a check, but never as a sound car does",
    why="The check is then asked again though the log has shown that all is well.",
    wrong={"checks/old.yaml": EXAMPLE, "readings.yaml": _HIGH},
    right={"checks/old.yaml": EXAMPLE, "readings.yaml": example("right", "up-to: 90") + _HIGH},
    find=_find,
)
