"""Findings as SARIF, which services that build and review code show beside the lines.

OASIS Standard "Static Analysis Results Interchange Format (SARIF) Version 2.1.0", 27 March 2020.
The numbers of sections below are those of that text, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from expert import __version__
from expert.rules.ids import FORM
from expert.rules.rule import Finding, Rule
from expert.text import clean
from expert.workbench.check import Checked

VERSION: Final = "2.1.0"
SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"


def sarif(found: Checked, rules: Sequence[Rule]) -> dict[str, Any]:
    """One log file (3.13) with one run (3.14), whose columns count characters (3.14.17)."""
    index = {FORM: 0, **{rule.id: number for number, rule in enumerate(rules, 1)}}
    results = [_result(finding, index) for finding in found.findings]
    # What is excused in the files is suppressed in the source (3.27.23, 3.35).
    results += [
        {
            **_result(one.finding, index),
            "suppressions": [{"kind": "inSource", "justification": clean(one.reason)}],
        }
        for one in found.excused
    ]
    return {
        "$schema": SCHEMA,
        "version": VERSION,
        "runs": [
            {
                "tool": {"driver": _driver(rules)},
                "columnKind": "unicodeCodePoints",
                "results": results,
            }
        ],
    }


def _driver(rules: Sequence[Rule]) -> dict[str, Any]:
    """The tool (3.18, 3.19) and its rules (3.49)."""
    form = _descriptor(FORM, "a file is not as the loader expects it", "error")
    others = [
        {**_descriptor(rule.id, rule.summary, rule.severity), "fullDescription": {"text": rule.why}}
        for rule in rules
    ]
    return {"name": "gatepost", "version": __version__, "rules": [form, *others]}


def _descriptor(name: str, summary: str, level: str) -> dict[str, Any]:
    return {
        "id": name,
        "shortDescription": {"text": summary},
        "defaultConfiguration": {"level": level},
    }


def _result(finding: Finding, index: dict[str, int]) -> dict[str, Any]:
    """A result (3.27): error and warning are levels of the standard as well (3.27.10)."""
    region = {"startLine": finding.place.line, "startColumn": finding.place.column}
    location = {"artifactLocation": {"uri": uri(finding.place.file)}, "region": region}
    return {
        "ruleId": finding.rule,
        "ruleIndex": index[finding.rule],
        "level": finding.severity,
        # A brace by itself would begin a placeholder (3.11.5).
        "message": {"text": clean(finding.message).replace("{", "{{").replace("}", "}}")},
        "locations": [{"physicalLocation": location}],
    }


def uri(file: str) -> str:
    """A relative reference where the file is under the current folder, else a file URI (3.4.3)."""
    path = Path(file)
    return path.as_uri() if path.is_absolute() else quote(path.as_posix())
