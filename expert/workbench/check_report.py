"""The report of ``gatepost knowledge check``, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from expert.errors import Place
from expert.model import Knowledge
from expert.rules.rule import Finding, Rule
from expert.text import clean
from expert.workbench.check import Checked


def line(finding: Finding) -> str:
    """One finding as compilers write theirs, so that editors can jump to it."""
    return f"{finding.place}: {finding.severity}: {clean(finding.message)} [{finding.rule}]"


def fine(knowledge: Knowledge, excused: int) -> str:
    """What is said when nothing is wrong."""
    counts = {
        "setups": knowledge.setups,
        "bypass layouts": knowledge.bypasses,
        "symptoms": knowledge.symptoms,
        "causes": knowledge.causes,
        "checks": knowledge.checks,
    }
    words = ", ".join(f"{len(entries)} {kind}" for kind, entries in counts.items())
    besides = f"; {excused} excused" if excused else ""
    return f"No mistakes in {words} (digest {knowledge.digest}){besides}."


def summary(found: Checked) -> str:
    """How much was found, and what to do about it."""
    errors, warnings = counts(found.findings)
    parts = [f"{errors} error{'s' * (errors != 1)}, {warnings} warning{'s' * (warnings != 1)}"]
    if found.excused:
        parts.append(f"{len(found.excused)} excused")
    if found.fixable:
        parts.append(f"{found.fixable} can be mended with --fix")
    if found.knowledge is None:
        parts.append("the rules look at files without mistakes of form")
    return f"{'; '.join(parts)}."


def counts(findings: Iterable[Finding]) -> tuple[int, int]:
    """How many errors and warnings there are."""
    severities = [finding.severity for finding in findings]
    return severities.count("error"), severities.count("warning")


def check_json(found: Checked) -> dict[str, Any]:
    """The findings as one object."""
    errors, warnings = counts(found.findings)
    return {
        "format": 1,
        "digest": found.knowledge.digest if found.knowledge else None,
        "errors": errors,
        "warnings": warnings,
        "fixed": found.fixed,
        "findings": [
            {
                **_found(finding),
                "severity": finding.severity,
                "fixable": finding.fix is not None,
            }
            for finding in found.findings
        ],
        "excused": [{**_found(one.finding), "reason": one.reason} for one in found.excused],
    }


def _found(finding: Finding) -> dict[str, Any]:
    kind, name = finding.entry or (None, None)
    return {
        "rule": finding.rule,
        **_place(finding.place),
        "kind": kind,
        "id": name,
        "message": clean(finding.message),
    }


def _place(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line, "column": place.column}


def rule_lines(rules: Sequence[Rule]) -> list[str]:
    """The rules, one a line."""
    width = max(len(rule.id) for rule in rules)
    return [f"{rule.id:{width}}  {rule.severity:7}  {rule.summary}" for rule in rules]


def rules_json(rules: Sequence[Rule]) -> dict[str, Any]:
    """The rules as one object."""
    return {
        "format": 1,
        "rules": [
            {"id": rule.id, "severity": rule.severity, "summary": rule.summary, "why": rule.why}
            for rule in rules
        ],
    }
