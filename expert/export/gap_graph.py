"""Look-alikes as a Graphviz graph: causes as boxes, and a line between those that look alike.

What a line says is said in words as well, and by how it is drawn: the thicker it is the less tells
the two apart, and a broken one is explained in the files. Frames are those of a drawn tree.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from expert.export import look
from expert.export.markup import bold, cell, label, lines, row, sized, table, text, wrapped
from expert.model import Cause

if TYPE_CHECKING:
    from graphviz import Graph

_WIDTH = 30
_TITLE_WIDTH = 60
_PLACE_WIDTH = 34
_SMALL = 9
_TITLE = "Causes that look alike"
_LEGEND = (
    "A line joins two causes that show the same symptom and that no check tells apart well.",
    "On it: the check that tells most, with its decibans; ten are a factor of ten on the odds.",
    "Thicker: less is told. Broken: explained in the files.",
    "Double frame: must not be driven. Broken frame: drive with care.",
)


class LookAlike(NamedTuple):
    """Two causes, the check that tells most, decibans by it, on which cars, and if explained."""

    one: str
    other: str
    check: str | None
    decibans: float
    where: str
    explained: bool


def gap_graph(causes: Mapping[str, Cause], pairs: Sequence[LookAlike]) -> Graph:
    """The pairs as a graph; causes without a look-alike are left out."""
    from graphviz import Graph

    dot = Graph(name="gaps")
    legend = lines(_LEGEND if pairs else ("Every pair of causes is told apart by some check.",))
    places = {pair.where for pair in pairs}
    # What is the same for all is said once, at the top.
    title = f"{_TITLE}: {min(places)}" if len(places) == 1 else _TITLE
    head = [
        row(cell(bold(sized(lines(wrapped(title, _TITLE_WIDTH)), 16)))),
        row(cell(sized(legend, 10, look.QUIET))),
        row(cell(text(" "))),
    ]
    dot.attr(**{**look.GRAPH, "ranksep": "0.9", "nodesep": "0.3"}, label=label(table(head)))
    dot.attr("node", **look.NODE)
    dot.attr("edge", **look.EDGE)
    for name in dict.fromkeys(cause for pair in pairs for cause in (pair.one, pair.other)):
        _cause(dot, name, causes[name])
    for pair in pairs:
        _line(dot, pair, placed=len(places) > 1)
    if not pairs:
        dot.node("none", label(text("No look-alikes")), **look.LEFT)
    return dot


def _cause(dot: Graph, name: str, cause: Cause) -> None:
    drive = "ok" if cause.danger == "none" else cause.danger
    inner = [
        row(cell(bold(lines(wrapped(cause.title, _WIDTH))))),
        row(cell(sized(text(name), _SMALL, look.QUIET))),
    ]
    dot.node(_node(name), label(table(inner)), **look.leaf(drive, walked=False))


def _line(dot: Graph, pair: LookAlike, placed: bool) -> None:
    best = f"{pair.check}  {pair.decibans:.1f} dB" if pair.check else "no check at all"
    inner = [row(cell(bold(text(best))))]
    if placed:
        where = lines(wrapped(pair.where, _PLACE_WIDTH))
        inner.append(row(cell(sized(where, _SMALL, look.QUIET))))
    style = {"style": "dashed"} if pair.explained else {}
    width = f"{max(1.0, 4.0 - pair.decibans / 2.0):.1f}"
    dot.edge(_node(pair.one), _node(pair.other), label(table(inner)), penwidth=width, **style)


def _node(name: str) -> str:
    """The name of a node: no port, and no keyword of the DOT language."""
    return f"cause {name.replace(':', ' ')}"
