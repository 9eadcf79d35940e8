"""The mistakes of one file: ``expert/loading/reading.py``."""

from __future__ import annotations

import yaml

from expert.errors import Mistake, Place
from expert.loading.document import Document
from expert.loading.nodes import MOST_MISTAKES
from expert.loading.reading import Reading, listed, quoted, unknown


def node(text: str = "word", line: int = 2, column: int = 4) -> yaml.ScalarNode:
    mark = yaml.Mark("f", 0, line, column, None, 0)
    return yaml.ScalarNode("", text, mark, mark)


def test_a_mistake_is_where_the_node_begins() -> None:
    reading = Reading(Document("f", "a\nb\nc: word\n"))
    reading.add(node(), "wrong")
    assert reading.mistakes == [Mistake(Place("f", 3, 5), "wrong")]


def test_quotes_are_short_and_safe() -> None:
    assert quoted("a\x1b[31mb\u202e\nc") == "'ab c'"
    assert len(quoted("x" * 10_000)) == 62


def test_unknown_names() -> None:
    assert unknown("the key", "tittle", ["title", "what"]) == (
        "the key 'tittle' is not known; did you mean 'title'?"
    )
    assert unknown("the key", "banana", ["title", "what"]) == (
        "the key 'banana' is not known; expected one of title, what"
    )
    assert unknown("the part", "x", []) == "the part 'x' is not known; there are none yet"
    assert unknown("the part", "", ["gate"]) == "the part is missing here; expected one of gate"
    many = [f"cause-{number}" for number in range(100)]
    assert unknown("the cause", "banana", many) == "the cause 'banana' is not known"
    assert listed(["a", "b"]) == "a, b"


def test_of_very_many_mistakes_the_first_are_kept() -> None:
    reading = Reading(Document("f", "a\n" * 10 * MOST_MISTAKES))
    for line in range(10 * MOST_MISTAKES):
        assert reading.full is (line > MOST_MISTAKES)
        reading.add(node(line=line), "wrong")
        reading.add_unknown(node(line=line), "the key", ["a"]) if reading.full else None
    assert len(reading.mistakes) == MOST_MISTAKES + 1
    assert reading.mistakes[-1].message == "more mistakes follow; mend the first 200 first"
