"""The questions for a first case."""

from __future__ import annotations

from expert.workbench.add.ask_case import ANY
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.question import Question
from expert.workbench.add.script import script
from expert.workbench.add.setting import Setting
from tests.workbench.add import folders


def questions(setting: Setting, answers: dict[str, tuple[str, ...]]) -> dict[str, Question]:
    """Every question of the case, by key."""
    found = {}
    draft = Draft()
    while (now := standing(lambda: script(setting), draft)).question is not None:
        found[now.question.key] = now.question
        draft = draft.answered(now.question.key, answers[now.question.key])
    return found


def test_the_case_is_proposed_from_what_was_said(setting: Setting) -> None:
    asked = questions(setting, folders.CAUSE)
    # Only setups that the cause can be on.
    assert list(asked["case/setup"].choices) == ["external", "manual"]
    assert asked["case/symptoms"].default == ("lazy",)
    assert asked["case/checks"].default == (
        "red-flags",
        "what-changed",
        "worked-on",
        "hose-trace",
        *folders.entry(setting, folders.CAUSE).given,
    )
    # What the car showed is never proposed: a case that copies the files proves nothing.
    answers = [question for key, question in asked.items() if key.startswith("case/answer/")]
    assert [question.default for question in answers] == [None] * 6
    assert asked["case/drive"].default == ("caution",)


def test_a_setup_without_a_gate_is_asked_for_one(setting: Setting) -> None:
    answers = {
        **folders.CAUSE,
        "case/setup": ("manual",),
        "case/gate": ("external",),
        "case/spring": (),
        "case/within": (),
        "case/drive": (ANY,),
    }
    asked = questions(setting, answers)
    # The cause needs the external gate, so the internal one is not offered.
    assert list(asked["case/gate"].choices) == ["external"]
    case = folders.entry(setting, answers).case
    assert case is not None
    assert (case.entry["setup"], case.entry["gate"]) == ("manual", "external")
    assert "spring-kpa" not in case.entry
    assert case.entry["expect"] == {"cause": "lid-off"}


def test_the_bypass_and_several_answers_are_written(setting: Setting) -> None:
    answers = {
        **folders.CAUSE,
        "case/bypass": ("blow-off",),
        "case/answer/red-flags": ("knock",),
        "case/answer/light": ("unknown",),
    }
    case = folders.entry(setting, answers).case
    assert case is not None
    assert case.entry["bypass"] == "blow-off"
    told = case.entry["answers"]
    assert isinstance(told, dict)
    assert (told["red-flags"], told["light"]) == ("knock", "unknown")
