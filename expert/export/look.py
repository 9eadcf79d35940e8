"""How a drawn tree looks: shapes, lines and colours.

Everything that a colour says is also said by words and by the line: a double line means stop, a
broken line care, a thick line the way that the case has walked. So it survives a grey printer.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from expert.case.safety import Drive
from expert.model import Danger, Signal

FONT: Final = "Helvetica"

INK: Final = "#1d2327"
QUIET: Final = "#5a646b"
STOP: Final = "#9b1c1c"
CARE: Final = "#7a4e00"

GRAPH: Final = {
    "rankdir": "LR",
    "ordering": "out",
    "nodesep": "0.16",
    "ranksep": "0.28",
    "fontname": FONT,
    "fontsize": "11",
    "labelloc": "t",
    "labeljust": "l",
    "bgcolor": "white",
    "pad": "0.2",
    "dpi": "96",
}
NODE: Final = {
    "fontname": FONT,
    "fontsize": "11",
    "fontcolor": INK,
    "color": INK,
    "style": "filled",
    "fillcolor": "white",
    "margin": "0.09,0.05",
    "height": "0.2",
    "width": "0.4",
}
EDGE: Final = {
    "fontname": FONT,
    "fontsize": "10",
    "fontcolor": INK,
    "color": INK,
    "arrowsize": "0.7",
}

CHECK: Final = {"shape": "box"}
FORK: Final = {"shape": "hexagon", "fillcolor": "#e4ebf1", "margin": "0.02,0.02"}
LEAF: Final = {"shape": "box", "style": "filled,rounded", "fillcolor": "#f4efe2"}
REFERENCE: Final = {"shape": "cds", "fillcolor": "#ececec", "margin": "0.12,0.05"}
LEFT: Final = {"shape": "plaintext", "fillcolor": "white"}
CLUSTER: Final = {
    "fontname": FONT,
    "fontsize": "13",
    "fontcolor": INK,
    "color": QUIET,
    "style": "rounded",
    "labeljust": "l",
    "margin": "10",
}

# Close to the safety colours of ANSI Z535.1, but dark enough to be read as letters.
SIGNALS: Final[Mapping[Signal, str]] = {
    "DANGER": "#a01818",
    "WARNING": "#a35400",
    "CAUTION": "#7a6200",
    "NOTICE": "#1f5a96",
}

_EDGES: Final[Mapping[Danger, Mapping[str, str]]] = {
    "none": {},
    "caution": {"color": CARE, "style": "dashed"},
    "stop": {"color": f"{STOP}:white:{STOP}"},
}
_LEAVES: Final[Mapping[Drive, Mapping[str, str]]] = {
    "ok": {},
    "caution": {"color": CARE, "style": "filled,rounded,dashed"},
    "stop": {"color": STOP, "peripheries": "2"},
}


def edge(danger: Danger, walked: bool) -> dict[str, str]:
    """The line of answers of this danger."""
    look = dict(_EDGES[danger])
    if walked:
        look |= {"penwidth": "3", "arrowsize": "0.9"}
    return look


def leaf(drive: Drive, walked: bool) -> dict[str, str]:
    """The frame of a leaf with this drive verdict."""
    return {**LEAF, **_LEAVES[drive], **thick(walked)}


def thick(walked: bool) -> dict[str, str]:
    """The frame of what the case has walked."""
    return {"penwidth": "3"} if walked else {}
