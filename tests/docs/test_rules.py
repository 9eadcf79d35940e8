"""docs/rules.md against the registry."""

from __future__ import annotations

from expert.rules.registry import BY_ID, RULES
from tests.docs.pages import RULES as PAGE
from tests.docs.pages import code, rows, text_of
from tests.docs.rules import findings, page, visible


def test_the_page_is_that_of_the_rules() -> None:
    assert text_of(PAGE) == page(), "run: python -m tests.docs.rules"


def test_every_rule_has_its_line() -> None:
    listed = [code(row[0])[0] for row in rows(text_of(PAGE))]
    assert listed == ["form", *BY_ID]


def test_the_findings_of_the_page_are_real() -> None:
    for rule in RULES:
        for one in findings(rule, rule.wrong):
            assert f"{one.severity}: {one.message} [{rule.id}]" in text_of(PAGE)


def test_what_cannot_be_seen_is_shown() -> None:
    assert visible("\ufeffa  \r\nb") == "\u2401a\u2423\u2423\u240d\nb\u2403\n"
