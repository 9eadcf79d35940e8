"""Questions as data."""

from __future__ import annotations

from expert.workbench.add.question import NO, YES, Question, yes_or_no


def test_yes_or_no_is_a_choice_with_a_default() -> None:
    question = yes_or_no("k", "Really?", "Why not.", False)
    assert question == Question(
        "k", "Really?", "Why not.", "one", {YES: "Yes", NO: "No"}, default=(NO,)
    )
    assert yes_or_no("k", "a", "b", True).default == (YES,)
