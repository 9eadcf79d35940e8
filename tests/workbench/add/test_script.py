"""The whole conversation."""

from __future__ import annotations

import pytest

from expert.knowledge_options import KINDS as ON_THE_COMMAND_LINE
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.script import KIND, KINDS, script
from expert.workbench.add.setting import Setting
from tests.workbench.add import folders


def test_it_begins_with_what_is_added(setting: Setting) -> None:
    now = standing(lambda: script(setting), Draft())
    assert now.question is not None
    assert (now.question.key, now.question.choices) == (KIND, KINDS)
    assert tuple(KINDS) == ON_THE_COMMAND_LINE


@pytest.mark.parametrize("answers", [folders.CAUSE, folders.CHECK], ids=["cause", "check"])
def test_every_question_is_explained_in_a_line(
    setting: Setting, answers: dict[str, tuple[str, ...]]
) -> None:
    draft = folders.draft(setting, answers)
    for count in range(len(draft.answers)):
        question = standing(lambda: script(setting), Draft(draft.answers[:count])).question
        assert question is not None
        assert question.ask.endswith(("?", question.key[-1])), question
        assert question.why
        assert "\n" not in question.why
        if question.form in ("one", "several"):
            assert question.choices


@pytest.mark.parametrize("answers", [folders.CAUSE, folders.CHECK], ids=["cause", "check"])
def test_back_comes_to_the_same_questions(
    setting: Setting, answers: dict[str, tuple[str, ...]]
) -> None:
    draft = folders.draft(setting, answers)
    while draft.answers:
        last = draft.answers[-1]
        draft = draft.back()
        question = standing(lambda draft=draft: script(setting), draft).question
        assert question is not None
        assert question.key == last.key
