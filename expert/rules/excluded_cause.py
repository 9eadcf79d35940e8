"""Rows for causes that no car has which the check, the symptom or the row is for."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    causes, checks = subject.cause_cars, subject.check_cars
    for name, check in subject.knowledge.checks.items():
        able = checks[name]
        for cause in check.given:
            if able and causes[cause] and not able & causes[cause]:
                place = subject.places.of("check", name, "given", cause)
                message = f"no car that can do this check can have '{cause}'; see their 'needs'"
                yield Hit(place, message, ("check", name))
    for name, fault in subject.knowledge.causes.items():
        for check_name in fault.shown_by:
            if causes[name] and not checks[check_name] & causes[name]:
                place = subject.places.of("cause", name, "shown_by", check_name)
                message = f"no car that can have this can do '{check_name}'; see their 'needs'"
                yield Hit(place, message, ("cause", name))


_CHECK = """\
foot-look:
  ask: What is there in the foot of the gate?
  needs: [%s]
  minutes: 3
  answers: {ring: A ring, nothing: Nothing}
  healthy: {nothing: .003}
  given:
    ring-missing: {nothing: .95}
    hose-off: {nothing: .05}
  basis: common practice
"""

RULE = Rule(
    id="excluded-cause",
    severity="warning",
    summary="a row names a cause that no car has on which the check can be done",
    why="Such a row is never used. Mostly the part in 'needs' is wrong on one of the two sides.",
    wrong={"checks/foot.yaml": _CHECK % "internal-gate"},
    right={"checks/foot.yaml": _CHECK % "external-gate"},
    find=_find,
)
