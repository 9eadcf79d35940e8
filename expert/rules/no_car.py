"""Causes and checks that need parts which no setup has together."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    if not subject.cars.every:
        return
    for kind, cars in (("cause", subject.cause_cars), ("check", subject.check_cars)):
        for name, able in cars.items():
            if not able:
                place = subject.places.of(kind, name, "needs")
                message = "no setup has all of these parts, with any gate and bypass"
                yield Hit(place, message, (kind, name))


_CHECK = """\
foot-look:
  ask: What is there in the foot of the gate?
  needs: [%s]
  minutes: 3
  answers: {ring: A ring, nothing: Nothing}
  healthy: {nothing: .003}
  given:
    ring-missing: {nothing: .95}
  basis: common practice
"""

RULE = Rule(
    id="no-car",
    severity="warning",
    summary="no setup has all the parts that a cause or a check needs",
    why="It is never shown. A part is missing in a setup, or one too many stands in 'needs'.",
    wrong={"checks/foot.yaml": _CHECK % "external-gate, internal-gate"},
    right={"checks/foot.yaml": _CHECK % "external-gate"},
    find=_find,
)
