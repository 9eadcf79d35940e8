"""Look-alikes as a graph: ``expert/export/gap_graph.py``."""

from __future__ import annotations

from dataclasses import replace

import pytest

from expert.export.gap_graph import LookAlike, gap_graph
from expert.export.render import Renderer
from tests.export.pictures import RENDERERS, parsed, svg, words
from tests.small import CAUSES

PAIRS = [
    LookAlike("ring-missing", "hose-off", "lamp", 1.25, "every setup", False),
    LookAlike("ring-missing", "charge-leak", "smoke", 2.0, "outer", True),
    LookAlike("as-designed:base-map", "charge-leak", None, 0.0, "outer", False),
]

each_renderer = pytest.mark.parametrize("renderer", RENDERERS, ids=lambda one: one.program)


@each_renderer
def test_each_cause_once_and_a_line_for_each_pair(renderer: Renderer) -> None:
    nodes, edges = parsed(gap_graph(CAUSES, PAIRS).source, renderer)
    assert len(nodes) == 4
    assert [edge.get("style") for edge in edges] == [None, "dashed", None]
    widths = [float(edge["penwidth"]) for edge in edges]
    assert widths[2] > widths[0] > widths[1]


@each_renderer
def test_everything_is_said_in_words(renderer: Renderer) -> None:
    shown = words(svg(gap_graph(CAUSES, PAIRS).source, renderer))
    for text in (
        *("Ring left out", "ring-missing", "as-designed:base-map", "every setup"),
        *("lamp  1.2 dB", "smoke  2.0 dB", "no check at all"),
    ):
        # Renderers put unbreakable spaces where two stand together.
        assert text in [line.replace("\u00a0", " ") for line in shown]
    assert "Turbine wheel broken" not in shown


@each_renderer
def test_cars_that_all_pairs_share_are_named_once(renderer: Renderer) -> None:
    pairs = [pair._replace(where="outer, inner") for pair in PAIRS]
    shown = words(svg(gap_graph(CAUSES, pairs).source, renderer))
    assert [line for line in shown if "inner" in line] == ["Causes that look alike: outer, inner"]


def test_frames_are_those_of_a_drawn_tree() -> None:
    by_name = {node["name"]: node for node in parsed(gap_graph(CAUSES, PAIRS).source)[0]}
    assert by_name["cause hose-off"]["peripheries"] == "2"
    assert "dashed" in by_name["cause ring-missing"]["style"]
    assert "peripheries" not in by_name["cause charge-leak"]


@each_renderer
def test_texts_are_text_and_nothing_else(renderer: Renderer) -> None:
    hostile = '</b><img src="x"/> & \\N "quoted"'
    causes = {name: replace(one, title=hostile) for name, one in CAUSES.items()}
    pairs = [PAIRS[0]._replace(where=hostile, check=hostile)]
    shown = " ".join(words(svg(gap_graph(causes, pairs).source, renderer)))
    assert shown.count("\\N") == 4


@each_renderer
def test_without_pairs_it_says_so(renderer: Renderer) -> None:
    shown = words(svg(gap_graph(CAUSES, []).source, renderer))
    assert "Every pair of causes is told apart by some check." in shown
