"""The questions for a new check."""

from __future__ import annotations

from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.script import script
from expert.workbench.add.setting import Setting, Station
from tests.workbench.add import folders


def test_what_is_answered_becomes_the_entry(setting: Setting) -> None:
    new = folders.entry(setting, folders.CHECK)
    assert (new.kind, new.id, new.topic) == ("check", "ring-look", "rings")
    assert new.entry["how"] == ("Take it out.", "Hold it up: look at it.")
    assert new.entry["answers"] == {"round": "Round", "bent": "Bent", "gone": "Not there"}
    # An answer that nothing shows is asked for once more; the row stays in the order of answers.
    assert new.entry["given"] == {"ring-missing": {"bent": ".05", "gone": "almost-certain"}}
    assert "kind" not in new.entry
    # All that a car with the ring gone shows, and a name for what was asked there before.
    station = Station("gate", "after-ring-look", {"gone": ("ring-missing",)})
    assert new.stations == {"lazy": station}
    assert new.case is not None
    assert new.case.entry["expect"] == {"cause": "ring-missing", "drive": "caution"}


def test_a_two_sided_check(setting: Setting) -> None:
    answers = {
        **folders.CHECK,
        "answer-kind": ("two-sided",),
        "sound-answer": ("bent",),
        "both": ("probable",),
        "healthy/round": (".01",),
        "found/ring-missing": ("round", "gone"),
        "share/ring-missing/round": ("certain",),
        "share/ring-missing/gone": ("fifty-fifty",),
        "case": ("no",),
    }
    dropped = ("case/", "cause-of", "left-over", "healthy/bent")
    answers = {key: value for key, value in answers.items() if not key.startswith(dropped)}
    new = folders.entry(setting, answers)
    assert new.entry["kind"] == "two-sided"
    assert (new.entry["low"], new.entry["high"]) == (("round",), ("gone",))
    assert new.entry["both"] == {"round": ".75", "gone": ".25"}
    # Each side has the whole of what there is.
    assert new.entry["given"] == {"ring-missing": {"round": "certain", "gone": "fifty-fifty"}}


def test_a_dangerous_flag_needs_no_cause(setting: Setting) -> None:
    answers = {
        **folders.CHECK,
        "answer-kind": ("nominal",),
        "dangerous": ("bent",),
        "danger/bent": ("stop",),
        "loads-engine": ("yes",),
        "records-boost": ("no",),
        "case": ("no",),
    }
    dropped = ("case/", "cause-of", "left-over")
    answers = {key: value for key, value in answers.items() if not key.startswith(dropped)}
    new = folders.entry(setting, answers)
    assert new.entry["danger"] == {"bent": "stop"}
    assert new.entry["kind"] == "nominal"
    assert new.entry["loads-engine"] == "true"
    assert "records-boost" not in new.entry


def test_at_least_two_answers(setting: Setting) -> None:
    draft = Draft()
    optional = {}
    while (now := standing(lambda: script(setting), draft)).question is not None:
        key = now.question.key
        if key.startswith("answer/") and not key.endswith("id"):
            optional[key] = now.question.default == ()
        draft = draft.answered(key, folders.CHECK[key])
    assert optional == {"answer/1": False, "answer/2": False, "answer/3": True, "answer/4": True}
