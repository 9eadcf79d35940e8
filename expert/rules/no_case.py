"""Causes that no known case ends at."""

from __future__ import annotations

from collections.abc import Iterator

from expert.rules.rule import Hit, Rule, Subject


def _find(subject: Subject) -> Iterator[Hit]:
    proved = {case.expect.cause for case in subject.cases.values()}
    proving = set(_proving(subject))
    for name in subject.knowledge.causes:
        if name not in proved and _folder(subject.places.file("cause", name)) in proving:
            place = subject.places.of("cause", name)
            message = f"no known case ends at '{name}'; write one into a *.cases.yaml"
            yield Hit(place, message, ("cause", name))


def _proving(subject: Subject) -> Iterator[str]:
    """The folders that hold cases, which may lie in them or beside a topic."""
    for file in subject.texts:
        if file.kind == "case":
            yield file.file.rpartition("/")[0]
            yield _folder(file.file)


def _folder(file: str) -> str:
    """The knowledge folder of a file that is beside its topic."""
    return file.rpartition("/")[0].rpartition("/")[0]


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
    summary="no known case ends at a cause, in a folder that holds known cases",
    why=(
        "Without the story of a car nobody notices when a change elsewhere keeps the cause from"
        " ever being named. A folder without any case proves nothing, and is let be."
    ),
    wrong={"causes/sensor.yaml": _CAUSE, "causes/sensor.cases.yaml": _CASE % "hose-off"},
    right={"causes/sensor.yaml": _CAUSE, "causes/sensor.cases.yaml": _CASE % "seal-leaks"},
    find=_find,
)
