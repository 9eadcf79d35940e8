"""What rules look at."""

from __future__ import annotations

from expert.errors import Place
from expert.loading.linking.cars import Cars
from expert.loading.places import Places
from expert.rules.rule import Hit, Rule, Subject
from tests import small


def subject() -> Subject:
    knowledge = small.knowledge()
    cars = Cars(knowledge.setups, knowledge.bypasses)
    return Subject(knowledge, {}, Places({}), cars)


def test_sets_of_cars_are_those_with_the_parts() -> None:
    it = subject()
    outer = it.cars.having("external-gate")
    assert 0 < outer < it.cars.every
    assert it.cause_cars["ring-missing"] == it.check_cars["lamp"] == outer
    assert it.cause_cars["hose-off"] == it.check_cars["smoke"] == it.cars.every


def test_evidence_is_given_by_cause() -> None:
    found = subject().evidence
    assert [(name, dict(row)) for name, _, row in found["hose-off"]] == [
        ("hose-trace", {"hose-loose": 0.95}),
        ("run", {"above": 0.93}),
    ]
    assert "no-such" not in found


def test_a_finding_has_the_name_and_severity_of_its_rule() -> None:
    place = Place("x.yaml", 1, 2)
    rule = Rule("odd", "error", "odd", "Why.", {}, {}, lambda _: iter([Hit(place, "it is odd")]))
    (found,) = rule.findings(subject())
    assert (found.rule, found.severity, found.place, found.message, found.entry, found.fix) == (
        "odd",
        "error",
        place,
        "it is odd",
        None,
        None,
    )
