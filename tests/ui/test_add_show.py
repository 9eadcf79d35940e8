"""What ``knowledge add`` says."""

from __future__ import annotations

from pathlib import Path

from expert.ui import add_show
from expert.ui.add_pick import COMMANDS, first_shown
from expert.workbench.add.plan import Change, Piece, Plan
from expert.workbench.add.question import Question
from expert.workbench.add.setting import NewCase, NewEntry
from expert.workbench.add.trial import Trial, Tried
from tests.ui.script import shown

MANY = Question(
    "k", "Which part?", "It decides.", "several", {f"n{k}": f"number {k}" for k in range(20)}, ()
)
NEW = NewEntry("cause", "lid-off", "lids", {}, case=NewCase("lid", {}))


def test_a_question_is_explained_and_says_how_to_go_on() -> None:
    text = shown(add_show.asked(MANY, first_shown(MANY)))
    assert "Which part?\nIt decides." in text
    assert "12  n11: number 11" in text
    assert "n12" not in text
    assert "These are 12 of 20." in text
    assert "Nothing typed: none." in text
    again = shown(add_show.asked(MANY, ("n3",), again=True))
    assert "It decides." not in again
    assert "1  n3" in again


def test_probabilities_are_offered_in_words() -> None:
    text = shown(add_show.asked(Question("k", "How often?", "Why.", "probability"), ()))
    assert "probable 0.75" in text
    assert "impossible 0.01." in text


def test_a_default_is_shown_and_a_long_one_is_not() -> None:
    one = Question("k", "?", "!", default=("common practice",))
    assert "Nothing typed: common practice." in shown(add_show.asked(one, ()))
    long = Question("k", "?", "!", "several", MANY.choices, tuple(MANY.choices))
    assert "Nothing typed" not in shown(add_show.asked(long, ()))
    optional = Question("k", "?", "!", "whole", default=())
    assert "Nothing typed" not in shown(add_show.asked(optional, ()))


def test_what_was_picked_is_repeated() -> None:
    assert shown(add_show.noted(MANY, ("n1", "n2"))) == "Noted: n1, n2."
    assert add_show.noted(Question("k", "?", "!"), ("a text",)) == []
    assert add_show.noted(MANY, ()) == []


def test_help_names_every_command() -> None:
    text = shown(add_show.help_with(MANY))
    for name, meaning in COMMANDS.items():
        assert f"{name}: {meaning}" in text
    assert "1, 3 or lamp, torch" in text


def test_the_preview_holds_every_new_line(tmp_path: Path) -> None:
    plan = Plan((), (Piece("a.yaml", ("x:", "  y: z")), Piece("b.yaml", ("  c",))), ("Copied.",))
    text = shown(add_show.preview(plan))
    assert "a.yaml\n  x:\n    y: z" in text
    assert "b.yaml\n    c" in text
    assert "Copied." in text


def test_a_trial_that_went_well() -> None:
    text = shown(add_show.tried(NEW, Trial(tried=Tried("lid-off", 4, (), ()))))
    assert "Check: no mistakes." in text
    assert "the first case comes to lid-off after 4 checks" in text


def test_a_trial_that_did_not() -> None:
    missed = Tried(
        "rod-off",
        9,
        ("a.yaml:3:1: lid, named: expected lid-off",),
        ("other",),
        ("x: 3 checks before, 5 now",),
    )
    text = shown(add_show.tried(NEW, Trial((), ("weak",), missed)))
    assert "not as the cases expect" in text
    assert "a.yaml:3:1" in text
    assert "Cases that came out right before: other." in text
    assert "weak" in text
    assert "x: 3 checks before, 5 now" in text


def test_many_ways_are_counted() -> None:
    ways = tuple(f"case-{k}: 3 checks before, 5 now" for k in range(20))
    text = shown(add_show.tried(NEW, Trial(tried=Tried("lid-off", 4, (), (), ways))))
    assert "case-11:" in text
    assert "case-12:" not in text
    assert "and 8 more" in text
    without = shown(add_show.tried(NEW, Trial(tried=Tried("lid-off", 4, (), ()))))
    assert "no other case is asked other checks" in without


def test_mistakes_are_all_there_is_to_say() -> None:
    text = shown(add_show.tried(NEW, Trial(("a.yaml:1:1: wrong",))))
    assert "a.yaml:1:1: wrong" in text
    assert "cannot be written" in text
    assert "Try:" not in text


def test_without_a_case_nothing_is_proved() -> None:
    alone = NewEntry("cause", "a", "b", {})
    text = shown(add_show.tried(alone, Trial(tried=Tried(None, 0, (), ()))))
    assert "nothing proves" in text


def test_the_end(tmp_path: Path) -> None:
    plan = Plan((Change(tmp_path / "causes" / "a.yaml", None, b""),), (), ())
    text = shown(add_show.written(plan, tmp_path, overlay=True))
    assert "causes/a.yaml" in text
    assert "gatepost knowledge check --knowledge" in text
    assert "--knowledge" not in shown(add_show.written(plan, tmp_path, overlay=False))
    assert "--resume" in shown(add_show.kept(tmp_path))
    assert "nothing is kept" in shown(add_show.kept(None))
    assert str(tmp_path) in shown(add_show.greeting(tmp_path))
