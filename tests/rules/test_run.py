"""Running rules: their order, and what is excused."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from expert.errors import Place
from expert.rules.rule import Finding, Hit, Rule, Subject
from expert.rules.run import Excused, excuses_of, run
from tests import small
from tests.rules.test_rule import subject


def _rule(name: str, *hits: Hit) -> Rule:
    return Rule(name, "warning", "a rule", "Why.", {}, {}, lambda _: iter(hits))


def _hit(line: int, entry: tuple[str, str] | None = None) -> Hit:
    return Hit(Place("x.yaml", line, 1), f"in line {line}", entry)


def test_findings_come_by_place_whatever_rule_found_them() -> None:
    found = run(subject(), [_rule("late", _hit(3), _hit(1)), _rule("soon", _hit(2))])
    assert [(one.place.line, one.rule) for one in found.findings] == [
        (1, "late"),
        (2, "soon"),
        (3, "late"),
    ]
    assert found.excused == ()


def _excusing(it: Subject) -> Subject:
    lamp = small.replace(it.knowledge.checks["lamp"], excused={"odd": "It is a lamp."})
    checks = {**it.knowledge.checks, "lamp": lamp}
    return replace(it, knowledge=small.knowledge(checks=checks))


def test_an_excuse_holds_for_its_rule_and_entry_alone() -> None:
    it = _excusing(subject())
    lamp, smoke = ("check", "lamp"), ("check", "smoke")
    found = run(it, [_rule("odd", _hit(1, lamp), _hit(2, smoke)), _rule("even", _hit(3, lamp))])
    assert [one.place.line for one in found.findings] == [2, 3]
    kept = Finding(Place("x.yaml", 1, 1), "in line 1", "odd", "warning", lamp)
    assert found.excused == (Excused(kept, "It is a lamp."),)


def test_a_rule_that_judges_the_others_sees_what_they_found() -> None:
    seen = []

    def look(it: Subject) -> Iterator[Hit]:
        seen.append((it.ran, [one.rule for one in it.earlier]))
        return iter(())

    judge = Rule("judge", "warning", "a judge", "Why.", {}, {}, look, after_all=True)
    run(subject(), [judge, _rule("odd", _hit(1)), _rule("even")])
    assert seen == [(frozenset({"odd", "even"}), ["odd"])]


def test_entries_that_cannot_be_excused() -> None:
    knowledge = small.knowledge()
    assert excuses_of(knowledge, None) == {}
    assert excuses_of(knowledge, ("tool", "lamp")) == {}
    assert excuses_of(knowledge, ("case", "x")) == {}
    assert excuses_of(knowledge, ("check", "no-such")) == {}
