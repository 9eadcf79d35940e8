"""Look-alikes as a Graphviz graph: causes as boxes, and a line between those that look alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from expert.export import look
from expert.export.markup import bold, cell, label, lines, row, sized, table, text, wrapped

if TYPE_CHECKING:
    from graphviz import Graph

_WIDTH = 30
_SMALL = 9


class LookAlike(NamedTuple):
    """Two causes with their titles, the check that tells most and how much, and whether excused."""

    one: tuple[str, str]
    other: tuple[str, str]
    best: str
    decibans: float
    excused: bool


def gap_graph(pairs: Sequence[LookAlike], title: str) -> Graph:
    """The pairs as a graph; a broken line is one that the files explain."""
    from graphviz import Graph

    dot = Graph(name="gaps")
    legend = "A line joins two causes that no check tells apart. Broken: explained in the files."
    head = table(
        [
            row(cell(bold(sized(lines(wrapped(title, 60)), 16)))),
            row(cell(sized(text(legend), _SMALL + 1, look.QUIET))),
        ]
    )
    dot.attr(**{**look.GRAPH, "ranksep": "1.2"}, label=label(head))
    dot.attr("node", **{**look.NODE, **look.CHECK})
    dot.attr("edge", **look.EDGE)
    numbers: dict[str, str] = {}
    for pair in pairs:
        for name, words in (pair.one, pair.other):
            if name not in numbers:
                numbers[name] = f"cause{len(numbers) + 1}"
                inner = table(
                    [
                        row(cell(bold(lines(wrapped(words, _WIDTH))))),
                        row(cell(sized(text(name), _SMALL, look.QUIET))),
                    ]
                )
                dot.node(numbers[name], label(inner))
        style = {"style": "dashed"} if pair.excused else {"penwidth": "2"}
        shown = label(lines([f"best: {pair.best}", f"{pair.decibans:.1f} dB"]))
        dot.edge(numbers[pair.one[0]], numbers[pair.other[0]], shown, **style)
    if not pairs:
        dot.node("none", label(text("Every pair of causes is told apart by some check.")))
    return dot
