"""Entries and fields that differ: ``expert/workbench/changes.py``."""

from __future__ import annotations

from dataclasses import replace
from math import log10
from pathlib import Path

import pytest

from expert.loading.folder import load_with_cases
from expert.model import Ask, Expected, Harm, KnownCase, Suspect
from expert.workbench.changes import (
    Change,
    FieldChange,
    changes,
    field_changes,
    node_words,
    worded,
)
from tests import small
from tests.loading.folders import edited, write


def changed(tmp_path: Path, files: dict[str, str]) -> list[Change]:
    """The changes from the small knowledge to the same with these files."""
    old, new = write(tmp_path / "old"), write(tmp_path / "new", files)
    return changes(load_with_cases([old]), load_with_cases([new]))


def test_nothing_changed(tmp_path: Path) -> None:
    assert changed(tmp_path, {}) == []


def test_what_is_no_value_is_no_change(tmp_path: Path) -> None:
    files = edited("tools.yaml", "lamp: {title: a lamp}", "# mine\nlamp:\n  title: 'a lamp'")
    assert changed(tmp_path, files) == []


def test_a_probability_in_words_numbers_and_decibans(tmp_path: Path) -> None:
    files = edited(
        "checks/all.yaml", "{ring: almost-certain, crescent: .05}", "{ring: probable, crescent: .2}"
    )
    (change,) = changed(tmp_path, files)
    assert (change.kind, change.id, change.what) == ("check", "light", "changed")
    ring, crescent = change.fields
    assert ring.path == ("given", "ring-missing", "ring")
    assert (ring.old, ring.new) == ("almost-certain (0.93)", "probable (0.75)")
    assert ring.decibans == pytest.approx(10 * log10(0.75 / 0.93))
    assert (crescent.old, crescent.new) == ("0.05", "0.2")
    old = small.CHECKS["smoke"]
    (gone,) = field_changes(old, replace(old, given={"charge-leak": {"wisp": 0.05}}))
    assert gone == FieldChange(("given", "charge-leak", "plume"), "almost-certain (0.93)", None)


def test_added_and_removed_entries(tmp_path: Path) -> None:
    files = {"tools.yaml": "lamp: {title: a lamp}\nmirror: {title: a mirror}\n"}
    assert changed(tmp_path, files) == [Change("tool", "mirror", "added")]
    files = {"tools.yaml": "lamp: {title: a lamp}\n", "bypasses/blow-off.yaml": ""}
    old, new = load_with_cases([tmp_path / "new"]), load_with_cases([tmp_path / "old"])
    assert changes(old, new) == [Change("tool", "mirror", "removed")]


def test_cases_and_the_policy_are_entries_too(tmp_path: Path) -> None:
    case = """\
one:
  title: One
  setup: external
  symptoms: [lazy]
  answers: {light: ring}
  expect: {cause: ring-missing}
  basis: invented
"""
    files = {"causes/all.cases.yaml": case, **edited("policy.yaml", "conclude: .8", "conclude: .9")}
    policy, added = changed(tmp_path, files)
    assert policy == Change(
        "policy", "policy", "changed", (FieldChange(("conclude",), "0.8", "0.9"),)
    )
    assert added == Change("case", "one", "added")


def test_a_text_is_told_word_by_word() -> None:
    old = small.CHECKS["lamp"]
    (change,) = field_changes(old, replace(old, ask="What light passes there?"))
    assert change.words == "What light [passes? -> passes there?]"


def test_the_order_of_answers_has_a_meaning() -> None:
    old = small.CHECKS["smoke"]
    answers = dict(reversed(old.answers.items()))
    (change,) = field_changes(old, replace(old, answers=answers))
    assert change.path == ("answers", "order")
    assert change.new == "plume, wisp, nowhere"
    given = {"charge-leak": {"plume": 0.93, "wisp": 0.05}}
    assert field_changes(old, replace(old, given=given)) == ()


def test_a_new_row_is_told_value_by_value() -> None:
    old = small.CHECKS["lamp"]
    given = {**old.given, "hose-off": {"ring": 0.15}}
    (change,) = field_changes(old, replace(old, given=given))
    assert change == FieldChange(("given", "hose-off", "ring"), None, "improbable (0.15)")


def test_trees_are_compared_as_far_as_they_ask_the_same() -> None:
    old = small.LAZY
    new = replace(old, subtrees={**old.subtrees, "inner": Suspect(("flap-stuck",))})
    (change,) = field_changes(old, new)
    assert change.path == ("subtrees", "inner")
    assert (change.old, change.new) == ("asks flap", "suspects flap-stuck")
    inner = old.subtrees["inner"]
    assert isinstance(inner, Ask)
    then = {**inner.then, "stuck": Suspect(("charge-leak", "flap-stuck"))}
    new = replace(old, subtrees={**old.subtrees, "inner": replace(inner, then=then)})
    (change,) = field_changes(old, new)
    assert change.path == ("subtrees", "inner", "then", "stuck")


def test_values_of_every_other_form() -> None:
    old = small.CAUSES["hose-off"]
    harm: Harm = "mechanical"
    new = replace(old, minutes=5.5, work=(), harm=harm, excused={"no-case": "New."})
    told = {change.path: (change.old, change.new) for change in field_changes(old, new)}
    assert told == {
        ("minutes",): ("20", "5.5"),
        ("work",): ("hoses", "none"),
        ("harm",): ("overpressure", "mechanical"),
        ("excused", "no-case"): (None, "New."),
    }
    check = small.CHECKS["run"]
    (measure,) = field_changes(check, replace(check, measure=None))
    assert measure.new is None
    assert measure.old is not None
    assert measure.old.startswith("unit kPa, against spring, up-to below -14")
    (loads,) = field_changes(check, replace(check, loads_engine=False))
    assert (loads.old, loads.new) == ("true", "false")
    case = KnownCase(
        title="One",
        setup="outer",
        symptoms=("lazy",),
        answers={},
        expect=Expected(cause="hose-off", within=3),
        basis="invented",
    )
    expect = replace(case.expect, within=None)
    (within,) = field_changes(case, replace(case, expect=expect))
    assert within == FieldChange(("expect", "within"), "3", None)


def test_words_and_numbers() -> None:
    assert worded(0.93) == "almost-certain (0.93)"
    assert worded(0.931) == "0.931"
    assert node_words(Suspect(("a", "b"))) == "suspects a, b"
