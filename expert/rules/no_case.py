"""Causes that no known case ends at."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    proved = {case.expect.cause for case in subject.cases.values()}
    for name in subject.knowledge.causes:
        if name not in proved:
            place = subject.places.of("cause", name)
            message = f"no known case ends at '{name}'; write one into a *.cases.yaml"
            yield Hit(place, message, ("cause", name))


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
_CASE = """\
whistle-after-a-new-sensor:
  title: It whistles since the sensor is new
  setup: external
  symptoms: [lazy]
  answers: {light: dark}
  expect: {cause: %s}
  basis: invented
"""

RULE = Rule(
    id="no-case",
    severity="warning",
    summary="no known case ends at a cause",
    why=(
        "Without the story of a car nobody notices when a change elsewhere keeps the cause from"
        " ever being named."
    ),
    wrong={"causes/sensor.yaml": _CAUSE, "causes/sensor.cases.yaml": _CASE % "hose-off"},
    right={"causes/sensor.yaml": _CAUSE, "causes/sensor.cases.yaml": _CASE % "seal-leaks"},
    find=_find,
)
