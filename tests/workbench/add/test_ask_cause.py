"""The questions for a new cause."""

from __future__ import annotations

import pytest

from expert.workbench.add.ask_cause import NOWHERE
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.question import Question
from expert.workbench.add.script import script
from expert.workbench.add.setting import Setting
from tests.workbench.add import folders


def asked(setting: Setting, key: str, **changes: tuple[str, ...]) -> Question:
    """The question of this key, on the way through the whole cause."""
    answers = {
        **folders.CAUSE,
        **{name.replace("_", "-"): value for name, value in changes.items()},
    }
    draft = Draft()
    while (now := standing(lambda: script(setting), draft)).question is not None:
        if now.question.key == key:
            return now.question
        draft = draft.answered(now.question.key, answers[now.question.key])
    pytest.fail(f"{key} is never asked")


def test_what_is_answered_becomes_the_entry(setting: Setting) -> None:
    new = folders.entry(setting, folders.CAUSE)
    assert (new.kind, new.id, new.topic) == ("cause", "lid-off", "all")
    assert list(new.entry) == [
        "title",
        "what",
        "needs",
        "work",
        "seen",
        "danger",
        "confirm",
        "fix",
        "cautions",
        "minutes",
        "parts",
        "basis",
    ]
    assert new.entry["seen"] == {"just-fitted": "common", "settled": "rare"}
    assert new.symptoms == {"lazy": "probable"}
    assert new.given == {
        "light": {"ring": ".4"},
        "lid": {"crooked": "almost-certain"},
        "spring-run": {"below": "probable"},
    }
    assert new.suspects["lazy"].path == ("subtrees", "gate", "then", "ring", "suspect")
    assert new.case is not None


def test_an_id_is_proposed_and_one_that_exists_is_not(setting: Setting) -> None:
    assert asked(setting, "id").default == ("lid-blown-off-gone",)
    again = asked(setting, "id", title=("Ring missing",))
    assert again.default == ("ring-missing-2",)
    assert "ring-missing" in again.taken


def test_parts_that_no_car_has_together_are_asked_for_again(setting: Setting) -> None:
    draft = Draft()
    both = ("external-gate", "internal-gate")
    answers = {**folders.CAUSE, "needs": both}
    while (now := standing(lambda: script(setting), draft)).question is not None:
        if now.question.key == "needs" and draft.answers[-1].key == "needs":
            break
        draft = draft.answered(now.question.key, answers[now.question.key])
    assert now.question is not None
    assert now.question.why.startswith("No car has all of these: external-gate, internal-gate.")
    now = standing(lambda: script(setting), draft.answered("needs", ("external-gate",)))
    assert now.question is not None
    assert now.question.key == "work"


def test_a_stop_cause_is_asked_for_its_harm(setting: Setting) -> None:
    answers = {**folders.CAUSE, "danger": ("stop",), "harm": ("mechanical",), "case": ("no",)}
    answers = {key: value for key, value in answers.items() if not key.startswith("case/")}
    new = folders.entry(setting, answers)
    assert (new.entry["danger"], new.entry["harm"]) == ("stop", "mechanical")
    assert new.case is None


def test_plausible_checks_are_walked_through_with_the_likeliest_first(setting: Setting) -> None:
    draft = folders.draft(setting, folders.CAUSE)
    walked = [one.key for one in draft.answers if one.key.startswith("shows/")]
    assert set(walked[:2]) == {"shows/light", "shows/lid"}
    question = asked(setting, "shows/light")
    # The healthy answer is never written, so it is not offered.
    assert list(question.choices) == ["crescent", "ring", "enough"]
    assert question.default == ()
    assert "1 of" in question.why


def test_the_others_can_be_named_after_the_walk(setting: Setting) -> None:
    answers = {
        **folders.CAUSE,
        "shows/light": ("enough",),
        "more-checks": ("bolts",),
        "shows-too/bolts": ("loose",),
        "share/bolts/loose": ("improbable",),
        "case/checks": ("bolts",),
        "case/answer/bolts": ("loose",),
    }
    gone = [key for key in answers if key.startswith(("shows/", "share/l", "share/s"))]
    gone += [key for key in answers if key.startswith("case/answer/") and key[12:] != "bolts"]
    for key in gone:
        if key != "shows/light":
            del answers[key]
    new = folders.entry(setting, answers)
    assert new.given == {"bolts": {"loose": "improbable"}}


def test_answers_to_a_graded_check_share_what_there_is(setting: Setting) -> None:
    draft = Draft()
    answers = {
        **folders.CAUSE,
        "shows/light": ("crescent", "ring"),
        "share/light/crescent": (".7",),
    }
    while (now := standing(lambda: script(setting), draft)).question is not None:
        if now.question.key == "share/light/ring":
            break
        draft = draft.answered(now.question.key, answers[now.question.key])
    assert now.question is not None
    assert now.question.most == pytest.approx(0.3)


def test_leaves_with_look_alikes_come_first_and_nowhere_is_the_default(setting: Setting) -> None:
    question = asked(setting, "suspect/lazy")
    assert next(iter(question.choices)) == "gate/ring"
    assert question.choices["gate/ring"] == "Suspects ring-missing"
    assert question.default == (NOWHERE,)


def test_the_file_with_look_alikes_is_proposed(setting: Setting) -> None:
    question = asked(setting, "file")
    assert question.default == ("all",)
    assert list(question.choices) == ["all"]
