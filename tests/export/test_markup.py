"""Text in labels stays text. Judged by the XML parser of the standard library (expat)."""

from __future__ import annotations

from xml.etree import ElementTree

import graphviz
import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.export.markup import (
    Markup,
    bold,
    cell,
    label,
    lines,
    row,
    sized,
    table,
    text,
    tip,
    wrapped,
)
from expert.text import clean

HOSTILE = [
    "<b>bold</b>",
    "</td></tr></table>>];evil[label=x",
    'a "quoted" word',
    "back\\slash, \\N, \\G, \\l, \\\\",
    "ends with \\",
    "{record|field}",
    "&lt; &amp; &#65; &eacute;",
    "line\nbreak\r\tand tab",
    "bell\x07 escape\x1b[31m null\x00",
    "<!-- comment --> <![CDATA[ x ]]>",
    "// comment /* # */ ; -> --",
]


def inner(markup: str) -> ElementTree.Element:
    return ElementTree.fromstring(f"<all>{markup}</all>")


@pytest.mark.parametrize("words", HOSTILE)
def test_text_holds_no_markup(words: str) -> None:
    root = inner(text(words))
    assert len(root) == 0
    assert (root.text or "").replace("\\\\", "\\") == clean(words)


@given(st.text())
def test_any_text_holds_no_markup(words: str) -> None:
    made = text(words)
    assert not set(made) & set('<>"')
    root = inner(made)
    assert len(root) == 0
    assert (root.text or "").replace("\\\\", "\\") == clean(words)


@given(st.text())
def test_a_backslash_never_stands_alone(words: str) -> None:
    # Graphviz documentation, "escString": a doubled backslash is one literal backslash.
    assert "\\" not in text(words).replace("\\\\", "")


@given(st.lists(st.text(), min_size=1, max_size=4))
def test_tips_are_one_quoted_string_of_the_dot_language(paragraphs: list[str]) -> None:
    # Graphviz documentation, "The DOT Language": in quoted strings only \" is escaped.
    quoted = graphviz.quoting.quote(tip(paragraphs))
    if quoted.startswith('"'):
        assert '"' not in quoted[1:-1]
    else:
        assert graphviz.quoting.ID.match(quoted)
    assert not quoted.startswith("<")


@given(st.text(), st.integers(min_value=1, max_value=40))
def test_wrapped_lines_are_short_and_lose_nothing_but_space(words: str, width: int) -> None:
    made = wrapped(words, width)
    assert made
    assert all(len(line) <= width for line in made)
    assert "".join("".join(made).split()) == "".join(clean(words).split())


def test_lines_end_with_a_break_at_the_left() -> None:
    root = inner(lines(["one", "two & three"]))
    assert [item.tag for item in root] == ["br", "br"]
    assert {item.get("align") for item in root} == {"left"}
    assert root.text == "one"
    assert root[0].tail == "two & three"


def test_a_table_nests_and_an_empty_one_is_nothing() -> None:
    made = table([row(cell(bold(sized(text("x"), 9, "#123456")), 'bgcolor="white"'))])
    root = inner(made)
    assert [item.tag for item in root.iter()] == ["all", "table", "tr", "td", "b", "font"]
    assert root.find(".//font").attrib == {"point-size": "9", "color": "#123456"}  # type: ignore[union-attr]
    assert table([]) == ""


def test_a_label_is_html_like() -> None:
    assert label(Markup("x")) == "<x>"
