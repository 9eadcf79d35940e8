"""What the YAML parsers complain about, in the words of someone who edits a text file."""

from __future__ import annotations

from typing import Final

import yaml

from expert.errors import Mistake, Place
from expert.loading.marks import place
from expert.text import clean

DEEPEST: Final = 20

TOO_DEEP: Final = f"nested deeper than {DEEPEST} levels"
DIRECTIVE: Final = "a directive (%) is not allowed; delete it"
SECOND_DOCUMENT: Final = "a second document begins here; a file holds one"
_INDENT: Final = "this line does not fit the lines above it: check its indent"
_QUOTE: Final = "a quote was opened and is not closed"

# A part of what the C parser or the Python parser says, and what it means. The first that fits is
# taken, so parts of others come after them.
_PLAIN_WORDS: Final = (
    (
        "mapping values are not allowed",
        "a colon does not belong here: put a text that holds ': ' in quotes,"
        " or check the indent of the line",
    ),
    ("did not find expected key", _INDENT),
    ("expected <block end>", _INDENT),
    (
        "could not find expected ':'",
        "a colon is missing here, or on the line above: expected 'key: value'",
    ),
    ("expected '-' indicator", "this line does not fit the list above it: check its indent"),
    (
        "sequence entries are not allowed",
        "a list item does not belong here: begin it on a line of its own",
    ),
    ("expected ',' or ']'", "a list in square brackets is not closed, or a comma is missing"),
    ("expected ',' or '}'", "a curly bracket is not closed, or a comma is missing"),
    ("node content", "something is missing here"),
    ("unexpected end of stream", _QUOTE),
    ("unexpected document", _QUOTE),
    (
        "cannot start any token",
        "a text cannot begin with this character: put the text in quotes",
    ),
    ("unknown escape character", "a backslash in double quotes: use single quotes, or double it"),
    ("maximum nesting depth", TOO_DEEP),
    ("unknown directive", DIRECTIVE),
    (
        "<document start>",
        "this does not belong to what stands above it: check its indent, and that no quote or"
        " bracket is closed too early",
    ),
)


def syntax_mistake(error: yaml.YAMLError, text: str, file: str) -> Mistake:
    """The mistake for what PyYAML raised on ``text``."""
    problem = str(getattr(error, "problem", None) or getattr(error, "reason", None) or error)
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    where = place(file, mark, text) if mark else Place(file, 1, 1)
    for said, meant in _PLAIN_WORDS:
        if said in problem:
            return Mistake(where, meant)
    return Mistake(where, f"this is not valid YAML: {clean(problem, 120)}")
