"""The text of an HTML message, by one pass that follows nothing, runs nothing and cannot blow up.

This is no parser of HTML, and need not be: tags go, scripts and styles go with what they hold,
blocks become lines, and quoted blocks get the mark of quoted lines.
"""

from __future__ import annotations

import html
import string
from typing import Final

from expert.evidence.mail.words import wordset

_SMALL: Final = str.maketrans(string.ascii_uppercase, string.ascii_lowercase)
_DROPPED: Final = frozenset(
    {"script", "style", "head", "title", "svg", "object", "noscript", "template", "textarea"}
)
_BLOCKS: Final = wordset(
    "p div br tr li ul ol table h1 h2 h3 h4 h5 h6 blockquote hr section article header footer pre "
    "td"
)
_NAME_LIMIT: Final = 20
_DEEPEST_QUOTE: Final = 8


def text_of_html(source: str) -> str:
    """What a reader of the page would read, in lines."""
    small = source.translate(_SMALL)
    pieces: list[str] = []
    position = depth = 0
    while True:
        tag = source.find("<", position)
        if tag < 0:
            pieces.append(_text(source[position:], depth))
            break
        pieces.append(_text(source[position:tag], depth))
        if small.startswith("<!--", tag):
            end = source.find("-->", tag + 4)
            position = len(source) if end < 0 else end + 3
            continue
        name, closing = _name(small, tag)
        if not name:
            # A bare sign: 5 psi < 7 psi.
            pieces.append("<")
            position = tag + 1
            continue
        end = source.find(">", tag)
        if end < 0:
            break
        position = end + 1
        if name in _DROPPED and not closing:
            last = small.find(f"</{name}", position)
            if last < 0:
                break
            end = source.find(">", last)
            position = len(source) if end < 0 else end + 1
        elif name in _BLOCKS:
            if name == "blockquote":
                depth = max(0, min(_DEEPEST_QUOTE, depth + (-1 if closing else 1)))
            pieces.append("\n" + "> " * depth)
    return _tidy("".join(pieces))


def _name(small: str, tag: int) -> tuple[str, bool]:
    """The name of the tag that begins here, and whether it closes one; empty where none does."""
    start = tag + 1
    closing = small.startswith("/", start)
    start += closing
    end = start
    while end < len(small) and end - start < _NAME_LIMIT and small[end].isalnum():
        end += 1
    name = small[start:end]
    if not name and small[start : start + 1] in {"!", "?"}:
        name = "!"
    return (name if name[:1].isalpha() or name == "!" else ""), closing


def _text(piece: str, depth: int) -> str:
    """Running text: line ends of the source are only spaces."""
    if not piece:
        return ""
    words = html.unescape(" ".join(piece.split()))
    before = " " if piece[0].isspace() else ""
    after = " " if piece[-1].isspace() and words else ""
    return f"{before}{words}{after}" if words else " "


def _tidy(text: str) -> str:
    lines: list[str] = []
    for line in map(str.strip, text.split("\n")):
        if line.strip("> "):
            lines.append(line)
        elif lines and lines[-1]:
            lines.append("")
    return "\n".join(lines).strip("\n")
