"""Answers that no car with some setup can give."""

from __future__ import annotations

from collections.abc import Iterator

from expert.model import Check
from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    for name, check in subject.knowledge.checks.items():
        # Flags of a nominal check that a car cannot show are not offered on it.
        if check.kind in ("history", "nominal"):
            continue
        sound = check.sound_answer()
        for answer in check.answers:
            left = _left(subject, name, check, answer) if answer != sound else 0
            if left:
                place = subject.places.of("check", name, "answers", answer)
                message = (
                    f"on a car with the setup {subject.cars.first(left)} nothing gives this answer;"
                    " add its cause, or say in 'healthy' how often a sound car gives it"
                )
                yield Hit(place, message, ("check", name))


def _left(subject: Subject, name: str, check: Check, answer: str) -> int:
    """The cars that can do the check and have nothing that gives the answer."""
    if check.healthy.get(answer, 0.0) > 0:
        return 0
    left = subject.check_cars[name]
    for cause, row in check.given.items():
        if row.get(answer, 0.0) > 0:
            left &= ~subject.cause_cars[cause]
            if not left:
                break
    if left and check.both.get(answer, 0.0) > 0:
        return left & ~_both_sides(subject, check)
    return left


def _both_sides(subject: Subject, check: Check) -> int:
    """The cars that can have a low and a high fault at once."""
    sides = []
    for answers in (check.low, check.high):
        cars = 0
        for cause, row in check.given.items():
            if any(row.get(answer, 0.0) > 0 for answer in answers):
                cars |= subject.cause_cars[cause]
        sides.append(cars)
    return sides[0] & sides[1]


_CHECK = """\
light-seen:
  ask: How much light comes past the valve?
  minutes: 3
  answers: {dark: None, little: A little, much: Much}
  healthy: {%s}
  given:
    ring-missing: {little: .1, much: .8}
    hose-off: {little: .2}
  basis: common practice
"""

RULE = Rule(
    id="impossible-answer",
    severity="warning",
    summary="on some setup nothing gives an answer that is offered there",
    why=(
        "Whoever sees it all the same is told that no cause explains it. Mostly a cause was"
        " forgotten in 'given', or a sound car may show it."
    ),
    wrong={"checks/light.yaml": _CHECK % "little: .02"},
    right={"checks/light.yaml": _CHECK % "little: .02, much: .003"},
    find=_find,
)
