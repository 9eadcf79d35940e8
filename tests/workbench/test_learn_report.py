"""What learn prints."""

from __future__ import annotations

import io
import json
from collections import Counter
from pathlib import Path

from expert.case.events import Answered
from expert.workbench.learn import Gathered, Lesson, gather, lesson
from expert.workbench.learn_read import Skipped
from expert.workbench.learn_report import MOST_TOLD, learn_json, lines, refusal, teller
from tests.small import knowledge
from tests.workbench.journals import story, write


def taught(folder: Path) -> tuple[Gathered, Lesson]:
    told = [story("ring-missing", Answered("lamp", ("dark",))) for _ in range(9)]
    book = knowledge()
    found = gather([write(folder, told)], book, print)
    found.skipped = Counter({"broken": 2, "unfinished": 1})
    return found, lesson(found, book, 20.0)


def test_the_text_names_cases_scores_and_changes(tmp_path: Path) -> None:
    found, lesson_ = taught(tmp_path)
    text = "\n".join(lines(found, lesson_))
    assert text.startswith("9 cases learned from.\n  2 skipped as broken: cannot be read.\n")
    assert "  1 skipped as unfinished: no cause was confirmed.\n" in text
    assert f"{lesson_.before.log:.4f}" in text
    assert f"{lesson_.after.log:.4f}" in text
    after = lesson_.learned.knowledge.checks["lamp"].given["ring-missing"]["ring"]
    assert f"  lamp, given ring-missing: ring 0.93 -> {after:g} (9 cases)" in text


def test_the_object_holds_every_change(tmp_path: Path) -> None:
    found, lesson_ = taught(tmp_path)
    made = json.loads(json.dumps(learn_json(found, lesson_, ["learned/x.yaml"])))
    assert made["format"] == 1
    assert made["cases"] == 9
    assert made["skipped"] == {
        "broken": 2,
        "repeated": 0,
        "unfinished": 1,
        "contradictory": 0,
        "foreign": 0,
    }
    assert len(made["seen"]) == len(lesson_.learned.seen)
    assert [row["check"] for row in made["rows"]] == ["lamp"]
    assert made["before"]["log"] == lesson_.before.log
    assert made["written"] == ["learned/x.yaml"]


def test_the_refusal_gives_both_scores_and_a_way_on(tmp_path: Path) -> None:
    _, lesson_ = taught(tmp_path)
    text = refusal(lesson_)
    assert f"{lesson_.before.log:.4f} before, {lesson_.after.log:.4f} after" in text
    assert "--force" in text


def test_of_very_many_skipped_journals_only_the_first_are_named() -> None:
    stream = io.StringIO()
    tell = teller(stream)
    for k in range(100_000):
        tell(Skipped(f"{k}", "broken", f"{k}: cannot be read."))
    said = stream.getvalue().splitlines()
    assert len(said) == MOST_TOLD + 1
    assert said[0] == "0: cannot be read."
