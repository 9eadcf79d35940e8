"""Numbers without a unit in what is asked, done and answered."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from expert.model import Check
from expert.rules.rule import Hit, Rule, Subject

_UNITS: Final = (
    "kPa|psi|bar|mbar|Pa|%|percent|rpm|mm|cm|m|km|Ω|ohms?|kΩ|V|volts?|A|mA|amps?|Hz|ms|s|seconds?"
    "|minutes?|hours?|days?|months?|years?|degrees?|°|°C|K|km/h|mph|g|kg|Nm|l|ml|litres?|W"
    "|inch(?:es)?|times|turns?|teeth|gears?|pulls?|steps?|quarters?|hands?"
)
# A number that stands alone: not inside a word or a code such as P0234, 3-port or 2.5th.
_NUMBER: Final = re.compile(r"(?<![\w.,:/-])[-+\u2212]?(?:\d+(?:,\d{3})+|\d+)(?:[.,]\d+)?(?![\w-])")
_UNIT: Final = re.compile(rf"[ \u00a0-]?(?:{_UNITS})(?!\w)")
# A range or a list of numbers takes the unit of its last one, and "an AND b of c" as well.
_ON: Final = re.compile(r"(?:,? (?:to|and|or|by|of) |, | ?[-\u2013/] ?)")
_FIELDS: Final = frozenset({"ask", "how", "answers"})


def _find(subject: Subject) -> Iterator[Hit]:
    for one in subject.prose:
        if one.kind == "check" and one.field in _FIELDS:
            for number in bare_numbers(one.text):
                place = subject.places.value("check", one.name, *one.path)
                message = f"found {number} without a unit; say of what"
                yield Hit(place, message, ("check", one.name))
    for name, check in subject.knowledge.checks.items():
        if check.measure is not None:
            yield from _unstated(subject, name, check)


def bare_numbers(text: str) -> Iterator[str]:
    """The numbers of a text behind which no unit comes, not even after others in a row."""
    position = 0
    while (found := _NUMBER.search(text, position)) is not None:
        first, position = found, found.end()
        while not _UNIT.match(text, position):
            joined = _ON.match(text, position)
            following = _NUMBER.match(text, joined.end()) if joined else None
            if following is None:
                # Nothing is nothing in any unit.
                if first.group() != "0":
                    yield first.group()
                break
            position = following.end()


def _unstated(subject: Subject, name: str, check: Check) -> Iterator[Hit]:
    """The answers of a measure in which no edge of theirs can be read."""
    assert check.measure is not None
    for answer, edge in check.measure.up_to.items():
        texts = [check.ask, *check.how, *check.answers.values()]
        wanted = f"{abs(edge):g}"
        if edge and not any(re.search(rf"(?<![\d.]){re.escape(wanted)}(?!\d)", t) for t in texts):
            place = subject.places.of("check", name, "measure", "up_to", answer)
            message = (
                f"the edge {wanted} {check.measure.unit} stands in no text of the check, so nobody"
                " can answer by it; say it in the answers"
            )
            yield Hit(place, message, ("check", name))


RULE = Rule(
    id="missing-unit",
    severity="warning",
    summary="a number in a question, step or answer has no unit, or a measure is not in the texts",
    why=(
        "Nobody can read 20 off a gauge that shows psi and kPa. Who answers without a log must find"
        " the edges of a measure in the texts."
    ),
    wrong={
        "checks/gauge.yaml": """\
spring-gauge:
  ask: Does the gauge pass 20 on a pull?
  loads-engine: true
  minutes: 5
  cautions: [hot-parts]
  answers: {below: 'No', above: 'Yes'}
  healthy: {above: .01}
  given:
    hose-off: {above: .95}
  basis: common practice
"""
    },
    right={
        "checks/gauge.yaml": """\
spring-gauge:
  ask: Does the gauge pass 20 kPa (3 psi) on a pull?
  loads-engine: true
  minutes: 5
  cautions: [hot-parts]
  answers: {below: 'No', above: 'Yes'}
  healthy: {above: .01}
  given:
    hose-off: {above: .95}
  basis: common practice
"""
    },
    find=_find,
)
