"""Drafts, and the question that follows from one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from expert.workbench.add.draft import Answer, Draft, Script, standing
from expert.workbench.add.question import Question


def script() -> Script[tuple[str, ...]]:
    """Two questions; the second only when the first is answered with more."""
    first = yield Question("a", "A?", "", "one", {"more": "", "less": ""})
    if first == ("less",):
        return first
    second = yield Question("b", "B?", "")
    return first + second


def test_the_next_question_follows_from_the_answers() -> None:
    draft = Draft()
    now = standing(script, draft)
    assert now.question is not None
    assert (now.used, now.question.key, now.result) == (0, "a", None)
    draft = draft.answered("a", ("more",))
    now = standing(script, draft)
    assert now.question is not None
    assert now.question.key == "b"
    now = standing(script, draft.answered("b", ("x",)))
    assert (now.used, now.question, now.result) == (2, None, ("more", "x"))
    assert standing(script, Draft().answered("a", ("less",))).result == ("less",)


def test_answers_that_no_longer_fit_are_not_used() -> None:
    for answer in (("b", ("x",)), ("a", ("gone",))):
        now = standing(script, Draft().answered(*answer).answered("b", ("x",)))
        assert now.used == 0
        assert now.question is not None


@given(st.lists(st.sampled_from(["more", "less"]), max_size=4))
def test_back_undoes_an_answer(values: list[str]) -> None:
    draft = Draft()
    for value in values:
        assert draft.answered("a", (value,)).back() == draft
        draft = draft.answered("a", (value,))
    assert Draft().back() == Draft()
    assert draft.answers == tuple(Answer("a", (value,)) for value in values)
