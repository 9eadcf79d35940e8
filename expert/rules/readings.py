"""What the rules for readings of logs share: readings by their check, and the example they show."""

from __future__ import annotations

from typing import Final

from expert.model import Knowledge, LogReading


def by_check(knowledge: Knowledge) -> dict[str, list[tuple[str, LogReading]]]:
    """The readings that answer a check, by its id, each with its own."""
    found: dict[str, list[tuple[str, LogReading]]] = {}
    for name, reading in knowledge.readings.items():
        if reading.check is not None:
            found.setdefault(reading.check, []).append((name, reading))
    return found


# A check whose sound answer is `right`.
EXAMPLE: Final = """\
old-log:
  ask: What does boost do in an old log?
  minutes: 3
  answers: {right: As it should, high: Too high}
  healthy: {high: .01}
  given:
    hose-off: {high: .9}
  basis: common practice
"""


def example(answer: str, bounds: str) -> str:
    """A reading that gives this answer to the check for peak boost within the bounds."""
    return f"""\
log-{answer}:
  check: old-log
  answer: {answer}
  when:
    peak-boost-kpa: {{{bounds}}}
  basis: common practice
"""
