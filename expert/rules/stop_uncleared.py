"""Stop causes that only a run under load could clear."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from expert.rules.evidence import shown
from expert.rules.rule import Hit, Rule, Subject

CLEARS: Final = 0.9


def _find(subject: Subject) -> Iterator[Hit]:
    for name, cause in subject.knowledge.causes.items():
        if cause.danger != "stop":
            continue
        if cause.harm is None:
            message = "a stop cause does harm; add 'harm:' overpressure or mechanical"
            yield Hit(subject.places.value("cause", name, "danger"), message, ("cause", name))
        if cause.harm != "overpressure":
            continue
        left = subject.cause_cars[name]
        for check_name, check, row in subject.evidence.get(name, ()):
            if not check.loads_engine and shown(check, row) >= CLEARS:
                left &= ~subject.check_cars[check_name]
        if left:
            place = subject.places.of("cause", name)
            message = (
                f"on a car with the setup {subject.cars.first(left)} no check without load clears"
                f" this; one must show it on {CLEARS:g} of the cars or more"
            )
            yield Hit(place, message, ("cause", name))


_CAUSE = """\
line-plugged:
  title: Signal line plugged
  what: The gate gets no air, so nothing limits boost.
  seen: {just-fitted: rare, settled: rare}
  danger: stop
  harm: overpressure
  confirm: Blow through it.
  fix: Clean it.
  minutes: 10
  parts: none
  basis: common practice
"""
_CHECK = """\
line-blow:
  ask: Does air go through the signal line?
  minutes: 3
  answers: {free: Freely, shut: Not at all}
  healthy: {shut: .003}
  given:
    line-plugged: {shut: %s}
  basis: common practice
"""

RULE = Rule(
    id="stop-uncleared",
    severity="error",
    summary="boost without a limit that no check without load can clear",
    why=(
        "Runs are offered only once such causes are unlikely. Where nothing but a run could make"
        " this one unlikely, the car can only go to a workshop."
    ),
    wrong={"causes/line.yaml": _CAUSE, "checks/line.yaml": _CHECK % ".6"},
    right={"causes/line.yaml": _CAUSE, "checks/line.yaml": _CHECK % ".95"},
    find=_find,
)
