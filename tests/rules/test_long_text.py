"""Texts over the limit of their field."""

from __future__ import annotations

from pathlib import Path

from expert.loading.kinds import ALL_KINDS
from expert.rules.long_text import LIMITS, OTHER
from expert.rules.prose import shapes
from tests.rules.bench import lines


def test_a_text_over_its_limit_is_shown_where_it_stands(tmp_path: Path) -> None:
    title = "a" * (LIMITS["title"] + 1)
    files = {"tools.yaml": f"lamp: {{title: {title}}}\ntorch: {{title: {title[1:]}}}\n"}
    message = "found 81 characters; expected at most 80, so cut or split"
    assert lines("long-text", tmp_path, files) == [f"tools.yaml:1:15: {message}"]


def test_limits_are_for_fields_that_the_model_has() -> None:
    fields = {name for kind in ALL_KINDS for name, _ in shapes(kind.entry)}
    assert set(LIMITS) <= {*fields, "why"}
    assert min(LIMITS.values()) < OTHER < max(LIMITS.values())
