"""Runs that a tree asks for before the hoses are traced."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from expert.model import Ask
from expert.rules.rule import Hit, Rule, Subject
from expert.rules.trees import asked, visits

# Checks that the program knows by name, with the answer that lets the engine be loaded.
FIRST: Final = {"hose-trace": "matches", "red-flags": "none"}


def _find(subject: Subject) -> Iterator[Hit]:
    checks = subject.knowledge.checks
    first = {name: answer for name, answer in FIRST.items() if name in checks}
    for name, symptom in subject.knowledge.symptoms.items():
        if not any(checks[check].loads_engine for check in asked(symptom)):
            continue
        for path, node, known, _ in visits(symptom, subject.knowledge, subject.cars):
            if not isinstance(node, Ask) or not checks[node.check].loads_engine:
                continue
            for check, answer in first.items():
                if known.get(check) != frozenset({answer}):
                    place = subject.places.value("symptom", name, *path, "check")
                    message = (
                        f"'{node.check}' loads the engine, and a way here has not answered"
                        f" '{check}' with '{answer}'; ask that before"
                    )
                    yield Hit(place, message, ("symptom", name))


_TRACE = """\
hose-trace:
  ask: Does every hose match the table?
  kind: nominal
  minutes: 5
  answers: {matches: All match, loose: One is loose}
  healthy: {loose: .01}
  given:
    hose-off: {loose: .9}
  basis: common practice
"""
_HEAD = """\
title: Whistles
what: A whistle under boost.
danger: none
causes: {hose-off: probable}
"""

RULE = Rule(
    id="early-load",
    severity="error",
    summary="a tree asks for a run before the hoses are traced and the red flags are out",
    why=(
        "A hose on the wrong port can cost the engine on the first pull. The program withholds the"
        " run, so the tree ends there for nothing."
    ),
    wrong={
        "checks/trace.yaml": _TRACE,
        "symptoms/whistle.yaml": f"""\
{_HEAD}\
tree:
  check: spring-run
  then:
    above: {{suspect: [hose-off]}}
basis: common practice
""",
    },
    right={
        "checks/trace.yaml": _TRACE,
        "symptoms/whistle.yaml": f"""\
{_HEAD}\
tree:
  check: hose-trace
  then:
    matches:
      check: spring-run
      then:
        above: {{suspect: [hose-off]}}
basis: common practice
""",
    },
    find=_find,
)
