"""Rules over a subject, with what entries are excused from kept apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from expert.model import Knowledge
from expert.rules.prose import KINDS
from expert.rules.rule import Finding, Rule, Subject


@dataclass(frozen=True, slots=True)
class Excused:
    """A finding that its entry is excused from, and why."""

    finding: Finding
    reason: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What is left to mend, and what is excused, both by place."""

    findings: tuple[Finding, ...]
    excused: tuple[Excused, ...]


def run(subject: Subject, rules: Iterable[Rule]) -> Outcome:
    """Run the rules; those that judge the others come last."""
    chosen = list(rules)
    first = [rule for rule in chosen if not rule.after_all]
    found = [finding for rule in first for finding in rule.findings(subject)]
    seen = replace(subject, ran=frozenset(rule.id for rule in first), earlier=tuple(found))
    found.extend(finding for rule in chosen if rule.after_all for finding in rule.findings(seen))
    left: list[Finding] = []
    excused: list[Excused] = []
    for finding in sorted(found, key=lambda one: (one.place, one.rule, one.message)):
        reason = excuses_of(subject.knowledge, finding.entry).get(finding.rule)
        if reason is None:
            left.append(finding)
        else:
            excused.append(Excused(finding, reason))
    return Outcome(tuple(left), tuple(excused))


def excuses_of(knowledge: Knowledge, entry: tuple[str, str] | None) -> Mapping[str, str]:
    """Rule -> why the entry need not keep it; empty where an entry cannot be excused."""
    if entry is None or entry[0] not in KINDS:
        return {}
    kind, name = entry
    value = getattr(knowledge, KINDS[kind]).get(name)
    return getattr(value, "excused", {})
