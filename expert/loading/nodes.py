"""Text to YAML nodes with positions, for a small and safe part of YAML.

The nodes come from PyYAML, with the C parser where it is present, and carry text only: what a
text means is decided later by the type that is expected, never by how it looks. Composing nodes
recurses, so a cheap look at the text first bounds how deep it can nest; where that finds anything
out of the ordinary, the events of the parser, which does not recurse, tell what it is and where.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

import yaml

from expert.errors import KnowledgeError, Mistake
from expert.loading.marks import place
from expert.loading.source import FORBIDDEN
from expert.loading.syntax import DEEPEST, DIRECTIVE, SECOND_DOCUMENT, TOO_DEEP, syntax_mistake
from expert.text import clean

# Of a file with very many mistakes only the first are reported.
MOST_MISTAKES: Final = 200

_Parser: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class TextOnly:
    """Makes a loader compose nodes without ever asking what a text could be taken for."""

    def resolve(self, kind: type, value: str | None, implicit: Any) -> str:
        """No tag: every text stays a text."""
        return ""

    def descend_resolver(self, node: Any, index: Any) -> None:
        """Nothing to prepare."""

    def ascend_resolver(self) -> None:
        """Nothing to tidy up."""


class _Loader(TextOnly, _Parser):  # type: ignore[misc]
    pass


# What ordinary knowledge never holds: document marks and directives, which begin a line, the
# first characters of anchors, aliases, tags and escapes, and lists that nest on one line.
_UNUSUAL: Final = ("\n---", "\n...", "\n%", "&", "*", "!", "\\")
_NESTED_ON_ONE_LINE: Final = re.compile(r"\n *(?:- +[-?:]|[?:])[ \n]")
_INDENT: Final = re.compile(r"\n( *-?)")
# A pair of brackets on one line, free of quotes and comments, opens as often as it closes
# wherever it stands: in a flow collection, in a text, in a comment.
_FLAT_PAIR: Final = re.compile(r"""\[[^][{}"'#\n]*\]|\{[^][{}"'#\n]*\}""")


def parse(text: str, file: str) -> tuple[yaml.Node | None, list[Mistake]]:
    """The root node of ``text``, None when it holds comments only, and mistakes beside it.

    Raises KnowledgeError when the text cannot be composed.
    """
    mistakes: list[Mistake] = []
    try:
        if _needs_scan(text):
            _scan(text, file, mistakes)
        loader = _Loader(text)
        try:
            return loader.get_single_node(), mistakes
        finally:
            loader.dispose()
    except yaml.YAMLError as error:
        raise KnowledgeError([*mistakes, syntax_mistake(error, text, file)]) from None


def _needs_scan(text: str) -> bool:
    text = f"\n{text}"
    return (
        any(mark in text for mark in _UNUSUAL)
        or _NESTED_ON_ONE_LINE.search(text) is not None
        or _depth_bound(text) > DEEPEST
    )


def _depth_bound(text: str) -> int:
    """A number that the nesting of ``text`` cannot exceed; small for ordinary files.

    A block collection begins at an indent of its own, except a list, which may stand at the
    indent of the mapping around it and may hold a mapping on its own line.
    """
    indents = set(_INDENT.findall(text))
    block = sum(2 if indent.endswith("-") else 1 for indent in indents)
    flow = 0
    while flow < DEEPEST and ("[" in text or "{" in text):
        text, removed = _FLAT_PAIR.subn("", text)
        if not removed:
            break
        flow += 1
    return block + flow + text.count("[") + text.count("{")


def _scan(text: str, file: str, mistakes: list[Mistake]) -> None:
    """Add what the parser's events show; KnowledgeError when composing would not be safe."""
    unsafe = False
    depth = documents = 0
    # The parser's stubs do not say that every event it makes has marks.
    events: Iterator[Any] = yaml.parse(text, Loader=_Loader)
    for event in events:
        messages: list[str] = []
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if event.version or event.tags:
                messages.append(DIRECTIVE)
            if documents > 1:
                messages.append(SECOND_DOCUMENT)
                unsafe = True
        elif isinstance(event, yaml.AliasEvent):
            found = (
                f"the alias *{clean(str(event.anchor), 40)} is not allowed; write it out, or put a"
            )
            messages.append(f"{found} text that begins with a star in quotes")
            unsafe = True
        elif isinstance(event, yaml.NodeEvent):
            messages.extend(_node_messages(event))
            if isinstance(event, yaml.CollectionStartEvent):
                depth += 1
                if depth > DEEPEST:
                    messages.append(TOO_DEEP)
                    unsafe = True
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if messages:
            where = place(file, event.start_mark, text)
            mistakes.extend(Mistake(where, message) for message in messages)
            if depth > DEEPEST or documents > 1 or len(mistakes) > MOST_MISTAKES:
                break
    if unsafe or len(mistakes) > MOST_MISTAKES:
        raise KnowledgeError(mistakes)


def _node_messages(event: Any) -> Iterator[str]:
    if event.anchor:
        yield f"the anchor &{clean(event.anchor, 40)} is not allowed; delete it"
    if event.tag:
        yield (
            f"the tag {clean(event.tag, 40)} is not allowed; put a text that begins with an"
            " exclamation mark in quotes"
        )
    hidden = FORBIDDEN.search(event.value) if isinstance(event, yaml.ScalarEvent) else None
    if hidden:
        yield f"this text writes the invisible character U+{ord(hidden.group()):04X}; delete it"
