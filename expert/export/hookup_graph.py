"""The plumbing of a car as a Graphviz graph, for the garage wall: pure, nothing is written.

Parts are boxes with their ports as rows. A hose is a thick line with its name; what is wrong is a
broken line and said in words, so that it reads the same in black and white.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from expert.evidence.hookup.found import Found
from expert.evidence.hookup.layout import Layout, Pair, Port
from expert.export import look
from expert.export.markup import Markup, bold, cell, label, lines, row, sized, table, text, wrapped
from expert.model import Knowledge

if TYPE_CHECKING:
    from graphviz import Digraph

_TITLE_WIDTH = 76
_SMALL = 9
_UNUSED = "not used"
_ORDER = (
    *("housing-nipple", "coupler-tap", "charge-path", "manifold", "signal-tee"),
    *("three-port", "four-port", "ball-controller", "bleed-controller"),
    *("internal-gate", "external-gate", "inlet-pipe"),
)


def hookup_graph(
    knowledge: Knowledge, layout: Layout, title: str, found: Found | None = None
) -> Digraph:
    """The layout, or what was found beside it: ``found`` None draws the layout alone."""
    from graphviz import Digraph

    dot = Digraph(name="hookup")
    dot.attr(**{**look.GRAPH, "ranksep": "1.3", "nodesep": "0.35"}, label=label(_title(title)))
    dot.attr("node", **{**look.NODE, "shape": "plaintext", "margin": "0"})
    dot.attr("edge", **{**look.EDGE, "dir": "none", "penwidth": "2.4"})
    hoses = layout.pairs if found is None else found.hoses | found.tees
    capped = layout.capped if found is None else found.capped
    used = {port for pair in hoses for port in pair}
    within = {port: other for pair in hoses for port, other in _inside_one_part(pair)}
    for part in _parts(layout):
        ports = [port for port in layout.ports if port.startswith(f"{part}.")]
        states = {port: _state(port, layout, used, capped, found) for port in ports}
        if set(states.values()) == {_UNUSED}:
            continue
        states |= {port: _to(port, within[port], layout) for port in ports if port in within}
        rows = [_port_row(port, state) for port, state in states.items()]
        dot.node(part, label(_box(knowledge.parts[part].title, rows)))
    names = {frozenset((hose.from_, hose.to)): name for name, hose in layout.hoses.items()}
    for pair in sorted(hoses, key=sorted):
        _hose(dot, pair, names, found is not None)
    if found is not None:
        for pair in sorted(layout.pairs - hoses, key=sorted):
            _missing(dot, pair, names)
    return dot


def _inside_one_part(pair: Pair) -> list[tuple[Port, Port]]:
    """Both ends with the other one, for a hose between two ports of one part."""
    one, other = sorted(pair)
    return [(one, other), (other, one)] if _part(one) == _part(other) else []


def _to(port: Port, other: Port, layout: Layout) -> str:
    """What a port says whose hose ends at the same part; labels of such hoses would overlap."""
    right = frozenset((port, other)) in layout.pairs
    return f"{'' if right else 'WRONG, '}hose to {other.partition('.')[2].replace('-', ' ')}"


def _parts(layout: Layout) -> list[str]:
    parts = list(dict.fromkeys(port.partition(".")[0] for port in layout.ports))
    known = [part for part in _ORDER if part in parts]
    return [*known, *(part for part in parts if part not in known)]


def _title(title: str) -> Markup:
    legend = "Thick line: a hose. Open: leave it open to the air. Capped: a tight cap."
    return table(
        [
            row(cell(bold(sized(lines(wrapped(title, _TITLE_WIDTH)), 16)))),
            row(cell(sized(text(legend), _SMALL + 1, look.QUIET))),
        ]
    )


def _box(title: str, rows: list[Markup]) -> Markup:
    head = row(cell(bold(lines(wrapped(title, 24)))))
    frame = f'border="1" color="{look.INK}" cellpadding="4"'
    return Markup(f'<table {frame} cellborder="0" cellspacing="0">{head}{"".join(rows)}</table>')


def _port_row(port: Port, state: str) -> Markup:
    name = port.partition(".")[2]
    note = sized(text(f"  {state}"), _SMALL) if state else Markup("")
    attributes = f'port="{name}" border="1" sides="T" color="{look.QUIET}"'
    return row(cell(Markup(f"{text(name.replace('-', ' '))}{note}"), attributes))


def _state(
    port: Port,
    layout: Layout,
    used: set[Port],
    capped: frozenset[Port],
    found: Found | None,
) -> str:
    """What is on a port without a hose, and whether that is wrong."""
    if port in used:
        return ""
    state = "capped" if port in capped else "open"
    if ".water-" in port:
        return "coolant or nothing"
    hosed = any(port in pair for pair in layout.pairs)
    if not hosed and port not in layout.capped | layout.open:
        return _UNUSED
    if found is None:
        return state
    right = "capped" if port in layout.capped else "open"
    if hosed:
        return f"{state}: WRONG, hose missing"
    return state if state == right else f"{state}: WRONG, {right} is right"


Names = Mapping[Pair, str]


def _hose(dot: Digraph, pair: Pair, names: Names, judged: bool) -> None:
    inside = bool(_inside_one_part(pair))
    if pair in names:
        dot.edge(*_anchors(pair), label="" if inside else f" {names[pair]} ")
        return
    extra = {"style": "dashed", "color": look.STOP} if judged else {}
    dot.edge(*_anchors(pair), label="" if inside else " WRONG ", **extra)


def _missing(dot: Digraph, pair: Pair, names: Names) -> None:
    dot.edge(
        *_anchors(pair),
        label=f" {names[pair]} belongs here ",
        style="dotted",
        color=look.QUIET,
        penwidth="1.4",
    )


def _anchors(pair: Pair) -> tuple[str, str]:
    """Both ends, the one further to the left first: it leaves to the right, and so across."""
    left, right = sorted(pair, key=lambda port: (_rank(port), port))
    side = "e" if _rank(left) == _rank(right) else "w"
    return f"{_cell(left)}:e", f"{_cell(right)}:{side}"


def _rank(port: Port) -> int:
    return _ORDER.index(_part(port)) if _part(port) in _ORDER else len(_ORDER)


def _part(port: Port) -> str:
    return port.partition(".")[0]


def _cell(port: Port) -> str:
    part, _, name = port.partition(".")
    return f"{part}:{name}"
