"""Texts over the limit of their field."""

from __future__ import annotations

from pathlib import Path

from expert.rules.long_text import LIMITS
from expert.rules.prose import KINDS, texts_of
from tests import small
from tests.rules.bench import lines


def test_a_text_over_its_limit_is_shown_where_it_stands(tmp_path: Path) -> None:
    title = "a" * (LIMITS["title"] + 1)
    files = {"tools.yaml": f"lamp: {{title: {title}}}\ntorch: {{title: {title[1:]}}}\n"}
    message = "found 81 characters; expected at most 80, so cut or split"
    assert lines("long-text", tmp_path, files) == [f"tools.yaml:1:15: {message}"]


def test_every_field_of_text_has_a_limit() -> None:
    knowledge = small.knowledge()
    entries = [one for field in KINDS.values() for one in getattr(knowledge, field).values()]
    fields = {str(path[0]) for entry in entries for path, _ in texts_of(entry)}
    assert fields <= set(LIMITS)
    assert {"hoses", "how", "answers", "excused"} <= set(LIMITS)
