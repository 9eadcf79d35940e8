"""Branches of a tree that nobody comes to."""

from __future__ import annotations

from collections.abc import Iterator

from expert.model import OTHERWISE
from expert.rules.rule import Hit, Rule, Subject
from expert.rules.trees import visits


def _find(subject: Subject) -> Iterator[Hit]:
    if not subject.cars.every:
        return
    for name, symptom in subject.knowledge.symptoms.items():
        for visit in visits(symptom, subject.knowledge, subject.cars):
            if visit.cars:
                continue
            step, branch = visit.path[-2:]
            place = subject.places.of("symptom", name, *visit.path)
            if step == "has" and branch == OTHERWISE:
                message = "every car that comes here has one of the parts; delete this branch"
            elif step == "has":
                message = f"no car that comes here has the part '{branch}'; delete this branch"
            else:
                message = (
                    f"the answer is known on every way here and never '{branch}'; delete this"
                    " branch"
                )
            yield Hit(place, message, ("symptom", name))


_HEAD = """\
title: Whistles
what: A whistle under boost.
danger: none
causes: {hose-off: probable}
"""

RULE = Rule(
    id="dead-branch",
    severity="warning",
    summary="nobody ever takes a branch of a tree",
    why=(
        "The answer was fixed further up, or no car with that part comes there. A reader takes the"
        " branch for advice that somebody gets."
    ),
    wrong={
        "symptoms/whistle.yaml": f"""\
{_HEAD}\
tree:
  check: flags
  then:
    none:
      check: flags
      then:
        none: {{suspect: [hose-off]}}
        smell: {{suspect: [hose-off]}}
basis: common practice
"""
    },
    right={
        "symptoms/whistle.yaml": f"""\
{_HEAD}\
tree:
  check: flags
  then:
    none: {{suspect: [hose-off]}}
    smell: {{suspect: [hose-off]}}
basis: common practice
"""
    },
    find=_find,
)
