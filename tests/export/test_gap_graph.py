"""Look-alikes as a graph: ``expert/export/gap_graph.py``."""

from __future__ import annotations

from expert.export.gap_graph import LookAlike, gap_graph

ONE, OTHER, THIRD = ("a", "A cause"), ("b", 'Another <b>&"'), ("c", "A third")


def test_each_cause_once_and_a_line_for_each_pair() -> None:
    pairs = [
        LookAlike(ONE, OTHER, "look", 1.2, excused=False),
        LookAlike(ONE, THIRD, "see", 2.0, excused=True),
    ]
    source = gap_graph(pairs, "Look-alikes").source
    assert source.count(" -- ") == 2
    assert source.count("A cause") == 1
    assert source.count("style=dashed") == 1
    assert "best: look" in source
    assert "Another &lt;b&gt;&amp;" in source


def test_without_pairs_it_says_so() -> None:
    assert "Every pair of causes is told apart" in gap_graph([], "Look-alikes").source
