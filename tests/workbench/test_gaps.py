"""What the knowledge cannot tell: ``expert/workbench/gaps.py``."""

from __future__ import annotations

from typing import Any

import pytest

from expert.loading.folder import load, shipped_folder
from expert.model import Knowledge
from expert.rules.ids import GAPS
from expert.workbench.gaps import (
    APART,
    IMPLIED,
    NEVER_CHOSEN,
    NEVER_FOUND,
    SAME,
    Gap,
    IdleExcuse,
    Where,
    find_gaps,
    idle_excuses,
)
from tests import small
from tests.workbench.gap_knowledge import BAD, cause, check, knowledge

TWO = {"a": cause(), "b": cause()}
BOTH = {"lazy": {"a": 0.9, "b": 0.9}}
ALIKE = {"look": check({"a": BAD, "b": BAD})}
PROOF = "Shine the bright lantern through the copper funnel and watch the golden shimmer."


def found(book: Knowledge, gap: str, **more: Any) -> list[Gap]:
    return [one for one in find_gaps(book, ["outer"], **more) if one.subject.gap == gap]


def test_two_causes_that_answer_alike_are_a_gap() -> None:
    (gap,) = found(knowledge(TWO, ALIKE, BOTH), APART)
    assert gap.subject == (APART, "cause", ("a", "b"), None, None)
    assert (gap.value, gap.total) == (0.0, 0.0)
    assert gap.where == (Where("outer", None, ()),)
    assert gap.excuse is None


def test_how_much_must_be_told_is_open() -> None:
    book = knowledge(TWO, {"look": check({"a": {"bad": 0.6}})}, BOTH)
    (gap,) = found(book, APART, below=20.0)
    assert gap.subject.check == "look"
    assert 3.0 < (gap.value or 0.0) < 20.0
    assert not found(book, APART)


def test_every_kind_of_gap_is_found_in_its_order() -> None:
    checks = {
        "see": check({"c": BAD}, ask=PROOF, minutes=5.0),
        "toil": check({"c": BAD}, minutes=500.0),
    }
    causes = {**TWO, "c": cause(), "d": cause(PROOF)}
    shares = {"lazy": {"a": 0.9, "b": 0.9}, "late": {"a": 0.9, "b": 0.9}}
    gaps = find_gaps(knowledge(causes, checks, shares, asked=("see",)), ["outer"])
    kinds = [gap.subject.gap for gap in gaps]
    assert kinds == sorted(kinds, key=GAPS.index)
    assert set(kinds) == set(GAPS)
    by_kind = {gap.subject.gap: gap.subject for gap in gaps}
    assert by_kind[NEVER_CHOSEN].entries == ("toil",)
    assert by_kind[SAME].entries == ("lazy", "late")
    assert by_kind[IMPLIED] == (IMPLIED, "cause", ("d",), "see", None)
    assert by_kind[NEVER_FOUND].entries in {(name,) for name in causes}


def test_an_excuse_of_either_is_kept_with_its_reason() -> None:
    for names in (("a", "b"), ("b", "a")):
        causes = dict.fromkeys(names, cause())
        causes[names[0]] = cause(excused={APART: "One repair mends both."})
        (gap,) = found(knowledge(causes, ALIKE, BOTH), APART)
        assert gap.excuse == "One repair mends both."
        assert [one.excuse for one in found(knowledge(causes, ALIKE, BOTH), NEVER_FOUND)] == [
            None,
            None,
        ]


def test_a_silent_check_may_excuse_itself() -> None:
    causes = {"a": cause(PROOF), "b": cause()}
    silent = check({"b": BAD}, ask=PROOF, excused={IMPLIED: "It looks at something else."})
    (gap,) = found(knowledge(causes, {"see": silent}, BOTH), IMPLIED)
    assert gap.excuse == "It looks at something else."


def test_a_check_of_another_setup_may_be_the_nearest() -> None:
    setups = small.knowledge().setups
    (part,) = {"internal-gate"} & {one for setup in setups.values() for one in setup.parts}
    checks = {
        "nearest": check({"a": BAD}, ask=PROOF, needs=(part,)),
        "near": check({"b": BAD}, ask="Shine the bright lantern through the copper funnel, watch."),
    }
    causes = {"a": cause(PROOF), "b": cause()}
    book = knowledge(causes, checks, BOTH, setups=setups)
    assert not found(book, IMPLIED)
    alone = knowledge(causes, checks, BOTH)
    assert [gap.subject.check for gap in found(alone, IMPLIED)] == ["near"]


def test_no_setup_of_the_shipped_files_has_a_silence_that_all_together_have_not() -> None:
    book = load([shipped_folder()])

    def silent(setups: list[str]) -> set[tuple[object, ...]]:
        gaps = find_gaps(book, setups)
        return {
            (*gap.subject.entries, gap.subject.check) for gap in gaps if gap.subject.gap == IMPLIED
        }

    assert silent(["direct"]) <= silent(list(book.setups))


def test_one_symptom_limits_what_is_looked_at() -> None:
    causes = {**TWO, "c": cause(PROOF)}
    alike = {"look": check(dict.fromkeys(causes, BAD)), "idle": check({}, ask=PROOF)}
    shares = {"lazy": dict.fromkeys(causes, 0.9), "late": {"a": 0.9, "b": 0.9, "c": 0.1}}
    book = knowledge(causes, alike, shares)
    assert len(found(book, APART)) == 3
    assert [gap.subject.entries for gap in found(book, APART, symptom="late")] == [("a", "b")]
    assert {gap.subject.entries for gap in found(book, NEVER_FOUND, symptom="late")} == {
        ("a",),
        ("b",),
    }
    assert found(book, IMPLIED)
    assert not found(book, IMPLIED, symptom="late")
    assert found(book, NEVER_CHOSEN)
    assert not found(book, NEVER_CHOSEN, symptom="late")


def both_gates(**more: Any) -> Knowledge:
    """The flap check, for an inner gate, is the only one that tells the two apart."""
    causes = {name: cause(**more) for name in ("a", "b")}
    checks = {"flap": check({"a": BAD}, needs=("internal-gate",))}
    base = small.knowledge()
    rest = {"setups": base.setups, "bypasses": base.bypasses}
    return knowledge(causes, checks, BOTH, **rest)


def test_a_gap_of_several_cars_is_told_once_with_its_cars() -> None:
    gaps = find_gaps(both_gates(), ["outer", "inner", "either"])
    (pair,) = [gap for gap in gaps if gap.subject.gap == APART]
    assert pair.where == (Where("outer", None, ()), Where("either", "external", ()))


def test_a_gap_that_only_some_bypasses_have_names_them() -> None:
    base = small.knowledge()
    checks = {"hiss": check({"a": BAD}, needs=("soft-bypass",))}
    book = knowledge(TWO, checks, BOTH, bypasses=base.bypasses)
    (pair,) = found(book, APART)
    assert pair.where == (Where("outer", None, ("none",)),)
    # Every car that can do the check is meant where only some bypasses allow it.
    idle = knowledge(TWO, {"hiss": check({}, needs=("soft-bypass",))}, BOTH, bypasses=base.bypasses)
    (gap,) = found(idle, NEVER_CHOSEN)
    assert gap.where == (Where("outer", None, ()),)


def test_the_most_that_any_car_can_tell_is_shown() -> None:
    base = small.knowledge()
    checks = {
        "look": check({"a": {"odd": 0.04}}),
        "hiss": check({"a": {"odd": 0.08}}, needs=("soft-bypass",)),
    }
    book = knowledge(TWO, checks, BOTH, bypasses=base.bypasses)
    (pair,) = found(book, APART)
    assert pair.subject.check == "hiss"
    assert pair.where == (Where("outer", None, ()),)
    assert (pair.total or 0.0) > (pair.value or 0.0) > 0.0


@pytest.mark.parametrize("setups", [[], ["outer"]])
def test_nothing_to_tell(setups: list[str]) -> None:
    assert find_gaps(knowledge({}, {}, {}), setups) == []


def test_excuses_that_nothing_needs() -> None:
    causes = {
        "a": cause(excused={APART: "Twins.", SAME: "No symptom.", "unconfirmed": "A rule."}),
        "b": cause(PROOF, excused={APART: "Twins."}),
    }
    silent = check({"a": BAD}, ask=PROOF, excused={IMPLIED: "Meant.", NEVER_CHOSEN: "Meant."})
    book = knowledge(causes, {"see": silent}, BOTH, asked=("see",))
    gaps = find_gaps(book, ["outer"])
    assert idle_excuses(book, gaps) == [
        IdleExcuse("cause", "a", APART),
        IdleExcuse("cause", "a", SAME),
        IdleExcuse("cause", "b", APART),
        IdleExcuse("check", "see", NEVER_CHOSEN),
    ]
    alike = knowledge(causes, ALIKE, BOTH)
    assert idle_excuses(alike, find_gaps(alike, ["outer"])) == [IdleExcuse("cause", "a", SAME)]
