"""Answers that sound cars give about as often as any car with a fault."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from expert.model import Check
from expert.rules.evidence import told
from expert.rules.rule import Hit, Rule, Subject

# Three decibans, either way: less than a mere hint.
HINT: Final = 2.0


def _find(subject: Subject) -> Iterator[Hit]:
    policy = subject.knowledge.policy
    for name, check in subject.knowledge.checks.items():
        for answer, best in _best(check).items():
            sound = check.healthy.get(answer, 0.0)
            found = told(policy, check, answer, best)
            if sound > 0 and found < HINT:
                place = subject.places.value("check", name, "healthy", answer)
                message = (
                    f"sound cars answer '{answer}' {sound:g} of the time, and no cause shows it"
                    f" {HINT:g} times as often (at most {found:.1f}); lower this, or raise 'given'"
                )
                yield Hit(place, message, ("check", name))


def _best(check: Check) -> dict[str, float]:
    """Answer -> the largest share that any cause gives it."""
    best: dict[str, float] = {}
    for row in check.given.values():
        for answer, share in row.items():
            if share > best.get(answer, 0.0):
                best[answer] = share
    return best


_CHECK = """\
line-blow:
  ask: Does air go through the signal line?
  minutes: 3
  answers: {free: Freely, slow: Slowly}
  healthy: {slow: %s}
  given:
    hose-off: {slow: .15}
  basis: common practice
"""

RULE = Rule(
    id="weak-answer",
    severity="warning",
    summary="sound cars give an answer about as often as any cause shows it",
    why=(
        "How much an answer says is the ratio of the two. To make an answer near proof, lower its"
        " 'healthy'; raising 'given' says that the fault always shows."
    ),
    wrong={"checks/line.yaml": _CHECK % ".2"},
    right={"checks/line.yaml": _CHECK % ".01"},
    find=_find,
)
