"""Checks, and rows of `given`, that change nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from expert.model import Check, Policy
from expert.rules.evidence import told
from expert.rules.rule import Hit, Rule, Subject

# One deciban, about the least weight of evidence that people perceive: I. J. Good, "Probability and
# the Weighing of Evidence", 1950 (from memory).
PERCEIVED: Final = 10**0.1


def _find(subject: Subject) -> Iterator[Hit]:
    policy = subject.knowledge.policy
    for name, check in subject.knowledge.checks.items():
        if check.kind == "history":
            continue
        # An answer that is dangerous by itself decides whether the car may be driven.
        if not check.given and not any(danger != "none" for danger in check.danger.values()):
            place = subject.places.of("check", name)
            message = "no cause is named in 'given', so no answer changes the ranking"
            yield Hit(place, message, ("check", name))
        for cause, row in check.given.items():
            if _says_nothing(policy, check, row):
                place = subject.places.of("check", name, "given", cause)
                message = (
                    f"a car with '{cause}' answers hardly otherwise than a sound one; raise a"
                    " share, or leave the row out"
                )
                yield Hit(place, message, ("check", name))


def _says_nothing(policy: Policy, check: Check, row: Mapping[str, float]) -> bool:
    return all(told(policy, check, answer, share) < PERCEIVED for answer, share in row.items())


_CHECK = """\
line-blow:
  ask: Does air go through the signal line?
  minutes: 3
  answers: {free: Freely, slow: Slowly}
  healthy: {slow: .1}
  given:
    hose-off: {slow: %s}
    ring-missing: {slow: .9}
  basis: common practice
"""

RULE = Rule(
    id="idle-check",
    severity="warning",
    summary="a check, or a row of `given`, changes nothing",
    why=(
        "A share far below that of sound cars adds less than a deciban, which nobody notices. It"
        " costs a reader time, and may stand where a real one was meant."
    ),
    wrong={"checks/line.yaml": _CHECK % ".02"},
    right={"checks/line.yaml": _CHECK % ".6"},
    find=_find,
)
