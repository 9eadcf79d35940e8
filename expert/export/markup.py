"""Text made safe for the labels of a Graphviz graph, and the few building blocks of labels.

A label is written in Graphviz's HTML-like form, in which every piece of text goes through
``text``: no text can end a label, open a tag, or be taken for an escape of the DOT language.
"""

from __future__ import annotations

import html
import textwrap
from collections.abc import Iterable
from typing import NewType

from expert.text import clean

Markup = NewType("Markup", str)
"""Text that is safe in an HTML-like label."""


def text(words: str) -> Markup:
    """One line of text, every character of which is shown as it is."""
    return Markup(_literal(words, "\\\\"))


def wrapped(words: str, width: int) -> list[str]:
    """The words on lines of at most ``width`` characters; never empty."""
    return textwrap.wrap(clean(words), width, break_on_hyphens=False) or [""]


def lines(rows: Iterable[str]) -> Markup:
    """Lines of text, one below the other, at the left."""
    return Markup("".join(f'{text(row)}<br align="left"/>' for row in rows))


def bold(inner: Markup) -> Markup:
    """The same in bold."""
    return Markup(f"<b>{inner}</b>")


def sized(inner: Markup, points: int, colour: str = "black") -> Markup:
    """The same in another size and colour."""
    return Markup(f'<font point-size="{points}" color="{colour}">{inner}</font>')


def cell(inner: Markup, attributes: str = "") -> Markup:
    """A cell of a table."""
    return Markup(f'<td align="left" balign="left" {attributes}>{inner}</td>')


def row(*cells: Markup) -> Markup:
    """A row of cells."""
    return Markup(f"<tr>{''.join(cells)}</tr>")


def table(rows: Iterable[Markup], attributes: str = "") -> Markup:
    """A table of rows; empty markup for no rows."""
    inner = "".join(rows)
    if not inner:
        return Markup("")
    frame = 'border="0" cellborder="0" cellspacing="0" cellpadding="1"'
    return Markup(f"<table {frame} {attributes}>{inner}</table>")


def label(inner: Markup) -> str:
    """A whole label: the angle brackets tell Graphviz that it is HTML-like."""
    return f"<{inner}>"


def tip(paragraphs: Iterable[str]) -> str:
    """A tooltip: plain text, which Graphviz searches twice for escapes."""
    import graphviz

    plain: str = graphviz.nohtml("\\n".join(_literal(item, "\\" * 4) for item in paragraphs))
    return plain


def _literal(words: str, backslash: str) -> str:
    """Clean text without anything that XML or DOT would read as more than a character."""
    return html.escape(clean(words)).replace("\\", backslash)
