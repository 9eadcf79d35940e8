"""What the knowledge cannot tell: ``expert/workbench/gaps.py``."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.model import Cause, Check, Knowledge, Seen, Symptom
from expert.workbench.gaps import APART, IMPLIED, NEVER_CHOSEN, NEVER_FOUND, SAME, Gap, find_gaps
from tests import small

BASIS = "invented"


def cause(confirm: str = "Look at it.", **more: object) -> Cause:
    return Cause(
        title="A cause",
        what="It is wrong.",
        seen=Seen(just_fitted="common", settled="common"),
        danger="none",
        confirm=confirm,
        fix="Mend it.",
        minutes=10.0,
        parts="none",
        basis=BASIS,
        **more,  # type: ignore[arg-type]
    )


def check(given: dict[str, dict[str, float]], minutes: float = 5.0, **more: object) -> Check:
    return Check(
        ask=str(more.pop("ask", "What is seen?")),
        minutes=minutes,
        answers={"fine": "Fine", "bad": "Bad"},
        healthy={"bad": 0.01},
        given=given,
        basis=BASIS,
        **more,  # type: ignore[arg-type]
    )


def knowledge(
    causes: dict[str, Cause], checks: dict[str, Check], shares: dict[str, dict[str, float]]
) -> Knowledge:
    base = small.knowledge()
    model = next(iter(base.symptoms.values()))
    symptoms: dict[str, Symptom] = {
        name: replace(model, causes=row, tree=small_tree(checks), subtrees={})
        for name, row in shares.items()
    }
    setups = {"outer": base.setups["outer"]}
    return replace(
        base, causes=causes, checks=checks, symptoms=symptoms, setups=setups, bypasses={}
    )


def small_tree(checks: dict[str, Check]) -> object:
    from expert.model import Ask, Suspect

    first = next(iter(checks))
    return Ask(first, {"bad": Suspect(()), "otherwise": Suspect(())})


def found(one: Knowledge, gap: str) -> list[Gap]:
    return [each for each in find_gaps(one, ["outer"]) if each.gap == gap]


TWO = {"a": cause(), "b": cause()}
BOTH = {"lazy": {"a": 0.9, "b": 0.9}}


def test_two_causes_that_answer_alike_are_a_gap() -> None:
    row = {"bad": 0.9}
    one = knowledge(TWO, {"look": check({"a": row, "b": row})}, BOTH)
    (gap,) = found(one, APART)
    assert gap.entries == ("a", "b")
    assert gap.best == "look"
    assert gap.value == pytest.approx(0.0, abs=1e-9)
    assert gap.cars == ("outer",)


def test_told_apart_by_a_check_they_are_none() -> None:
    assert not found(knowledge(TWO, {"look": check({"a": {"bad": 0.9}})}, BOTH), APART)


def test_without_a_common_symptom_they_are_none() -> None:
    row = {"bad": 0.9}
    apart = {"lazy": {"a": 0.9}, "other": {"b": 0.9}}
    assert not found(knowledge(TWO, {"look": check({"a": row, "b": row})}, apart), APART)


def test_an_excuse_is_kept_with_its_reason() -> None:
    row = {"bad": 0.9}
    causes = {"a": cause(excused={APART: "One repair mends both."}), "b": cause()}
    (gap,) = found(knowledge(causes, {"look": check({"a": row, "b": row})}, BOTH), APART)
    assert gap.excuse == "One repair mends both."


def test_a_cause_out_of_reach() -> None:
    one = knowledge(TWO, {"look": check({"a": {"bad": 0.9}, "b": {"bad": 0.95}})}, BOTH)
    assert {gap.entries for gap in found(one, NEVER_FOUND)} == {("a",), ("b",)}
    clear = {"look": check({"a": {"bad": 0.99}}), "see": check({"b": {"bad": 0.99}})}
    assert not found(knowledge(TWO, clear, BOTH), NEVER_FOUND)


def test_a_check_that_a_cheaper_one_makes_idle() -> None:
    row = {"a": {"bad": 0.9}}
    checks = {"look": check(row, minutes=5.0), "toil": check(row, minutes=50.0)}
    (gap,) = found(knowledge(TWO, checks, BOTH), NEVER_CHOSEN)
    assert gap.entries == ("toil",)
    better = {**checks, "toil": check({"a": {"bad": 0.99}}, minutes=50.0)}
    assert not found(knowledge(TWO, better, BOTH), NEVER_CHOSEN)


def test_symptoms_that_share_everything() -> None:
    same = {"lazy": {"a": 0.9, "b": 0.5}, "late": {"a": 0.9, "b": 0.5}}
    (gap,) = found(knowledge(TWO, {"look": check({"a": {"bad": 0.9}})}, same), SAME)
    assert gap.entries == ("lazy", "late")


def test_a_cause_about_which_no_reading_of_boost_says_a_word() -> None:
    run = check({"a": {"bad": 0.9}}, records_boost=True)
    gaps = found(knowledge(TWO, {"run": run}, BOTH), IMPLIED)
    assert [(gap.entries, gap.best) for gap in gaps] == [(("b",), "run")]


def test_a_proof_that_is_a_check_which_does_not_name_the_cause() -> None:
    words = "Shine the bright lantern through the copper funnel and watch the golden shimmer."
    causes = {"a": cause(words), "b": cause()}
    look = check({"b": {"bad": 0.9}}, ask=words)
    gaps = found(knowledge(causes, {"look": look}, {"x": {"a": 0.9, "b": 0.9}}), IMPLIED)
    assert [(gap.entries, gap.best) for gap in gaps] == [(("a",), "look")]


def test_one_symptom_limits_what_is_looked_at() -> None:
    row = {"bad": 0.9}
    three = {**TWO, "c": cause()}
    one = knowledge(
        three,
        {"look": check({"a": row, "b": row, "c": row})},
        {"lazy": {"a": 0.9, "b": 0.9, "c": 0.9}, "late": {"a": 0.9, "b": 0.9}},
    )
    pairs = [gap.entries for gap in find_gaps(one, ["outer"], "late") if gap.gap == APART]
    assert pairs == [("a", "b")]
