"""Causes that no check can confirm on a car that can have them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from expert.model import Check, Policy
from expert.rules.evidence import ratio
from expert.rules.rule import Hit, Rule, Subject

# Ten decibans of weight, on an answer that a third of the cars gives.
STRONG: Final = 10.0
LEAST_SHARE: Final = 0.3


def _find(subject: Subject) -> Iterator[Hit]:
    policy = subject.knowledge.policy
    for name, cause in subject.knowledge.causes.items():
        left = subject.cause_cars[name]
        for check_name, check, row in subject.evidence.get(name, ()):
            able = subject.check_cars[check_name]
            if left & able and tells(policy, check, row):
                left &= ~able
        for check_name in cause.shown_by:
            left &= ~subject.check_cars[check_name]
        if left:
            place = subject.places.of("cause", name)
            message = (
                f"on a car with the setup {subject.cars.first(left)} no check can confirm this;"
                f" give one an answer with a share of {LEAST_SHARE:g} or more that sound cars"
                f" give {STRONG:g} times less often"
            )
            yield Hit(place, message, ("cause", name))


def tells(policy: Policy, check: Check, row: Mapping[str, float]) -> bool:
    """Does a cause with this row of `given` show in some answer that sound cars seldom give?"""
    return any(
        share >= LEAST_SHARE and ratio(policy, check, answer, share) >= STRONG
        for answer, share in row.items()
    )


_CAUSE = """\
seal-leaks:
  title: Seal of the sensor leaks
  what: Air whistles past it.
  seen: {just-fitted: common, settled: rare}
  danger: none
  confirm: Wet it and look for bubbles.
  fix: Fit a new one.
  minutes: 10
  parts: low
  basis: common practice
"""
_CHECK = """\
bubbles:
  ask: Does the foot of the sensor bubble when it is wetted?
  minutes: 3
  answers: {dry: Nothing, bubbles: It bubbles}
"""

RULE = Rule(
    id="unconfirmed",
    severity="warning",
    summary="a cause cannot be confirmed by any check on a car that can have it",
    why=(
        "Such a cause is only ever named because all else was excluded. It needs a check that this"
        " car can do, with an answer that tells it from a sound car."
    ),
    wrong={
        "causes/sensor.yaml": _CAUSE,
        "checks/sensor.yaml": f"""\
{_CHECK}\
  healthy: {{bubbles: .3}}
  given:
    seal-leaks: {{bubbles: .6}}
  basis: common practice
""",
    },
    right={
        "causes/sensor.yaml": _CAUSE,
        "checks/sensor.yaml": f"""\
{_CHECK}\
  healthy: {{bubbles: .02}}
  given:
    seal-leaks: {{bubbles: .9}}
  basis: common practice
""",
    },
    find=_find,
)
