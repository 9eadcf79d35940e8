"""Findings as text and as JSON."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from expert.errors import Place
from expert.rules.registry import RULES
from expert.rules.rule import Edit, Finding, Fix
from expert.rules.run import Excused
from expert.workbench.check import Checked
from expert.workbench.check_report import (
    check_json,
    fine,
    line,
    rule_lines,
    rules_json,
    summary,
)
from tests import small

ODD = Finding(Place("a b.yaml", 3, 5), "it is odd", "odd", "error", ("check", "lamp"))
BLANK = Finding(
    Place("c.yaml", 1, 9), "blanks", "blanks", "warning", fix=Fix("c.yaml", (Edit(8, 9, ""),))
)


def checked(*findings: Finding) -> Checked:
    return Checked(small.knowledge(), findings, (Excused(ODD, "It is old."),))


def test_a_line_is_read_by_the_pattern_that_editors_use_for_compilers() -> None:
    # file:line:column: severity: message, as the GNU Coding Standards ask for ("Formatting Error
    # Messages"; from memory).
    found = re.fullmatch(r"(.+?):(\d+):(\d+): (error|warning): (.*) \[([\w-]+)\]", line(ODD))
    assert found is not None
    assert found.groups() == ("a b.yaml", "3", "5", "error", "it is odd", "odd")


def test_outside_text_cannot_break_a_line() -> None:
    text = line(replace(ODD, message="it\nis \x1b[31modd"))
    assert text == "a b.yaml:3:5: error: it is odd [odd]"


@pytest.mark.parametrize(
    ("findings", "wanted"),
    [
        ((ODD,), "1 error, 0 warnings; 1 excused."),
        ((BLANK, BLANK), "0 errors, 2 warnings; 1 excused; 2 can be mended with --fix."),
    ],
)
def test_the_summary_counts(findings: tuple[Finding, ...], wanted: str) -> None:
    assert summary(checked(*findings)) == wanted


def test_mistakes_of_form_come_before_rules() -> None:
    form = Checked(None, (replace(ODD, rule="form"),))
    text = "1 error, 0 warnings; the rules look at files without mistakes of form."
    assert summary(form) == text
    assert check_json(form)["digest"] is None


def test_what_is_said_when_all_is_well() -> None:
    knowledge = small.knowledge()
    text = fine(knowledge, 0)
    assert f"{len(knowledge.causes)} causes, {len(knowledge.checks)} checks" in text
    assert text.endswith(f"(digest {knowledge.digest}).")
    assert fine(knowledge, 2).endswith("; 2 excused.")


def test_the_object_holds_the_same() -> None:
    found = check_json(checked(ODD, BLANK))
    assert (found["errors"], found["warnings"], found["fixed"]) == (1, 1, 0)
    first, second = found["findings"]
    assert first == {
        "rule": "odd",
        "file": "a b.yaml",
        "line": 3,
        "column": 5,
        "kind": "check",
        "id": "lamp",
        "message": "it is odd",
        "severity": "error",
        "fixable": False,
    }
    assert (second["fixable"], second["kind"], second["id"]) == (True, None, None)
    (excused,) = found["excused"]
    assert (excused["rule"], excused["reason"]) == ("odd", "It is old.")


def test_every_rule_has_its_line() -> None:
    lines = rule_lines(RULES)
    assert [text.split()[0] for text in lines] == [rule.id for rule in RULES]
    assert all(rule.summary in text for rule, text in zip(RULES, lines, strict=True))
    listed = rules_json(RULES)["rules"]
    assert [one["id"] for one in listed] == [rule.id for rule in RULES]
