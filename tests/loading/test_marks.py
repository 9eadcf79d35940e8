"""Marks as places: ``expert/loading/marks.py``."""

from __future__ import annotations

import yaml

from expert.errors import Place
from expert.loading.marks import place


def test_places_behind_the_end_are_moved_onto_the_last_line() -> None:
    text = "a:\n  b:\n\n"
    assert place("f", yaml.Mark("f", 0, 3, 0, None, 0), text) == Place("f", 2, 5)
    assert place("f", yaml.Mark("f", 0, 1, 9, None, 0), text) == Place("f", 2, 5)
    assert place("f", yaml.Mark("f", 0, 1, 2, None, 0), text) == Place("f", 2, 3)
