"""Syntax errors in plain words: ``expert/loading/syntax.py``."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from expert.loading.syntax import syntax_mistake


def said(text: str, loader: Any = None) -> str:
    """What is said about a text that PyYAML, with the C parser if it is there, refuses."""
    with pytest.raises(yaml.YAMLError) as caught:
        yaml.compose(text, Loader=loader or getattr(yaml, "CBaseLoader", yaml.BaseLoader))
    return str(syntax_mistake(caught.value, text, "f"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: b: c", "f:1:5: a colon does not belong here"),
        ("a: b\n c: d", "f:2:3: a colon does not belong here"),
        ("a:\n  b: 1\n c: 2", "f:3:2: this line does not fit the lines above it"),
        ("a: b\nc\n", "f:2:2: a colon is missing here, or on the line above"),
        ("a: [b, c", "f:1:9: a list in square brackets is not closed"),
        ("a: {b: c", "f:1:9: a curly bracket is not closed"),
        ("a: [b, c\nd: e", "f:2:2: a list in square brackets is not closed"),
        ('a: "b\nc: d', "f:2:5: a quote was opened and is not closed"),
        ("a: 'b", "f:1:6: a quote was opened and is not closed"),
        ("a: @b", "f:1:4: a text cannot begin with this character"),
        ("a: `b", "f:1:4: a text cannot begin with this character"),
        ('a: "\\q"', "f:1:5: a backslash in double quotes"),
        ("a: - b", "f:1:4: a list item does not belong here"),
        ("- a\nb: c", "f:2:1: this line does not fit the list above it"),
        ("a: ]", "f:1:4: something is missing here"),
        ("{}}", "f:1:3: this does not belong to what stands above it"),
    ],
)
def test_syntax_errors_in_plain_words(text: str, expected: str) -> None:
    if not yaml.__with_libyaml__:
        pytest.skip("the columns are those of the C parser")
    assert said(text).startswith(expected)


def test_the_python_parser_has_plain_words_too() -> None:
    for text in ("a: b: c", "a:\n  b: 1\n c: 2", "a: b\nc\n", "a: [b", "a: {b", "a: 'b", "a: @b"):
        assert "not valid YAML" not in said(text, yaml.BaseLoader)


def test_other_errors_are_shown_safely() -> None:
    error = yaml.reader.ReaderError("f", 0, 7, "utf-8", "characters\x1b[31m are not allowed")
    assert str(syntax_mistake(error, "a", "f")) == (
        "f:1:1: this is not valid YAML: characters are not allowed"
    )
