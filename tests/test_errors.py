"""Errors carry their exit code, and all mistakes at once in the order of their places."""

from __future__ import annotations

from expert.errors import GatepostError, KnowledgeError, MissingError, Mistake, Place, UsageError


def test_exit_codes_are_those_of_the_manual() -> None:
    assert [kind.exit_code for kind in (GatepostError, UsageError, MissingError)] == [1, 2, 3]
    assert KnowledgeError([]).exit_code == 1


def test_mistakes_are_told_in_the_order_of_their_places() -> None:
    later = Mistake(Place("b.yaml", 2, 10), "second")
    first = Mistake(Place("b.yaml", 2, 9), "first")
    other = Mistake(Place("a.yaml", 30, 1), "in another file")
    error = KnowledgeError([later, first, other])
    assert str(error).splitlines() == [
        "a.yaml:30:1: in another file",
        "b.yaml:2:9: first",
        "b.yaml:2:10: second",
    ]
