"""Text put into a knowledge file at the right place; every other byte of it stays.

Places come from the parser's marks. After each insertion the file is read again: it must say what
it said before and the new thing, and nothing else. Where that is not so, the file is written in a
way that is not foreseen here, and ``InsertError`` asks for an editor.
"""

from __future__ import annotations

from typing import Any, Final

from yaml import MappingNode, Node, ScalarNode, SequenceNode

from expert.errors import GatepostError, KnowledgeError
from expert.loading.nodes import parse
from expert.model import OTHERWISE, UNKNOWN
from expert.workbench.add.compose import STEP, WIDTH, entry_text, scalar
from expert.workbench.add.rawtext import RawText
from expert.workbench.add.setting import Station

_FOLDED: Final = (">", "|")

# What a file says, without its layout: texts, lists and pairs in their order.
Said = Any


class InsertError(GatepostError):
    """A file that is written in a way that text cannot be put into."""


def said(node: Node | None) -> Said:
    """What a node says: a text, a list, or a tuple of pairs."""
    if node is None:
        return ()
    if isinstance(node, MappingNode):
        return tuple((said(key), said(value)) for key, value in node.value)
    if isinstance(node, SequenceNode):
        return [said(item) for item in node.value]
    return str(node.value)


def root_of(raw: RawText, file: str) -> Node | None:
    """The root node of a file's text. Raises KnowledgeError."""
    root, mistakes = parse(raw.text(), file)
    if mistakes:
        raise KnowledgeError(mistakes)
    return root


def entry_lines(raw: RawText, name: str, file: str) -> str:
    """The lines of one entry, with the comment lines right above it, ending in a line break."""
    root = root_of(raw, file)
    key, value = _pair(root, name, file)
    first = key.start_mark.line
    while first > 0 and raw.lines[first - 1].startswith("#") and not _is_header(raw, first - 1):
        first -= 1
    last = _last_line(value, raw)
    return "".join(line.rstrip("\r\n") + "\n" for line in raw.lines[first : last + 1])


def add_entry(raw: RawText, lines: str, file: str) -> RawText:
    """Put an entry (whole lines) behind the last one, an empty line between them."""
    root = root_of(raw, file)
    if isinstance(root, MappingNode) and not root.flow_style and root.value:
        at = _last_line(root, raw) + 1
        changed = raw.with_lines(at, f"\n{lines}")
    elif root is None:
        changed = raw.with_lines(len(raw.lines), lines)
    else:
        raise _unforeseen(file)
    new = said(_parsed(lines, file))
    return _proved(changed, (*said(root), *new), file)


def add_to_mapping(
    raw: RawText, path: tuple[str, ...], name: str, value: str, file: str
) -> RawText:
    """Put ``name: value`` behind the last pair of the mapping that the path leads to.

    ``value`` is YAML on one line.
    """
    root = root_of(raw, file)
    node = _at(root, path, file)
    if not isinstance(node, MappingNode):
        raise _unforeseen(file)
    if node.flow_style:
        changed = _in_flow(raw, node, f"{name}: {value}")
    else:
        indent = " " * node.value[0][0].start_mark.column
        changed = raw.with_lines(_last_line(node, raw) + 1, f"{indent}{name}: {value}\n")
    pair = (name, said(_parsed(value, file)))
    return _proved(changed, _replaced(said(root), path, lambda old: (*old, pair)), file)


def add_key(
    raw: RawText, path: tuple[str, ...], name: str, pairs: dict[str, dict[str, str]], file: str
) -> RawText:
    """Put a new key with a mapping under it into an entry, before its last key."""
    root = root_of(raw, file)
    node = _at(root, path, file)
    if not isinstance(node, MappingNode) or node.flow_style or len(node.value) < 2:
        raise _unforeseen(file)
    lines = entry_text(name, pairs, node.value[0][0].start_mark.column)
    changed = raw.with_lines(_last_line(node.value[-2][1], raw) + 1, lines)
    (pair,) = said(_parsed(lines, file))
    expected = _replaced(said(root), path, lambda old: (*old[:-1], pair, old[-1]))
    return _proved(changed, expected, file)


def add_to_list(raw: RawText, path: tuple[str, ...], item: str, file: str) -> RawText:
    """Put an item behind the last one of the list that the path leads to."""
    root = root_of(raw, file)
    node = _at(root, path, file)
    if not isinstance(node, SequenceNode):
        raise _unforeseen(file)
    if node.flow_style:
        changed = _in_flow(raw, node, scalar(item))
    else:
        indent = " " * node.start_mark.column
        changed = raw.with_lines(_last_line(node, raw) + 1, f"{indent}- {scalar(item)}\n")
    expected = _replaced(said(root), path, lambda old: [*old, item])
    return _proved(changed, expected, file)


def add_in_front(raw: RawText, station: Station, check: str, file: str) -> RawText:
    """Ask a check in front of a subtree: the subtree's lines stay, under another name.

    The new lines go between the subtree's name and what stands under it.
    """
    name, renamed = station.subtree, station.renamed
    root = root_of(raw, file)
    key, node = _pair(_at(root, ("subtrees",), file), name, file)
    line, inner = key.start_mark.line, node.start_mark.column
    below = isinstance(node, MappingNode) and not node.flow_style and node.start_mark.line > line
    if not below:
        raise _unforeseen(file)
    outer, space, deeper = (" " * width for width in (key.start_mark.column, inner, inner + STEP))
    leaves = station.suspects.items()
    rows = [f"{answer}: {{suspect: [{', '.join(causes)}]}}" for answer, causes in leaves]
    rows += [f"{OTHERWISE}: {renamed}", f"{UNKNOWN}: {renamed}"]
    body = f"{space}check: {check}\n{space}then:\n" + "".join(f"{deeper}{row}\n" for row in rows)
    changed = raw.with_lines(line + 1, f"{body}{outer}{renamed}:\n")
    ((_, new),) = said(_parsed(f"{name}:\n{body}", file))

    def grown(old: Said) -> Said:
        place = [known for known, _ in old].index(name)
        return (*old[:place], (name, new), (renamed, old[place][1]), *old[place + 1 :])

    return _proved(changed, _replaced(said(root), ("subtrees",), grown), file)


def _in_flow(raw: RawText, node: Any, piece: str) -> RawText:
    """Put a piece behind the last one between the brackets, on a new line where it grows wide."""
    if not node.value:
        return raw.with_piece(node.start_mark.line, node.start_mark.column + 1, piece)
    last = node.value[-1]
    end = (last[1] if isinstance(last, tuple) else last).end_mark
    wide = len(raw.lines[end.line].rstrip()) + len(piece) + 2 > WIDTH
    # Inside brackets a line may go on anywhere that is further in than what holds them.
    first = node.value[0]
    inner = (first[0] if isinstance(first, tuple) else first).start_mark
    between = "\n" + " " * inner.column if wide else " "
    return raw.with_piece(end.line, end.column, f",{between}{piece}")


def _at(root: Node | None, path: tuple[str, ...], file: str) -> Node:
    node: Node | None = root
    for step in path:
        _, node = _pair(node, step, file)
    if node is None:
        raise _unforeseen(file)
    return node


def _pair(node: Node | None, name: str, file: str) -> tuple[Any, Any]:
    if isinstance(node, MappingNode):
        for key, value in node.value:
            if isinstance(key, ScalarNode) and key.value == name:
                return key, value
    raise _unforeseen(file)


def _last_line(node: Any, raw: RawText) -> int:
    """The last line that a node stands on, counted from 0, without comments behind it."""
    if isinstance(node, (MappingNode, SequenceNode)) and not node.flow_style and node.value:
        last = node.value[-1]
        return _last_line(last[1] if isinstance(last, tuple) else last, raw)
    if isinstance(node, ScalarNode) and node.style in _FOLDED:
        return _last_of_block(node.start_mark.line, raw)
    return int(node.end_mark.line)


def _last_of_block(head: int, raw: RawText) -> int:
    """The last line of a block text whose sign stands in line ``head``."""
    last, inner = head, None
    for number in range(head + 1, len(raw.lines)):
        line = raw.lines[number].rstrip("\r\n")
        if not line.strip():
            continue
        indent = len(line) - len(line.lstrip(" "))
        inner = indent if inner is None else inner
        if indent < inner or indent == 0:
            break
        last = number
    return last


def _is_header(raw: RawText, number: int) -> bool:
    """Does this line belong to the comment that the file begins with?"""
    return all(line.startswith("#") for line in raw.lines[: number + 1])


def _replaced(whole: Said, path: tuple[str, ...], change: Any) -> Said:
    """What a file says with one thing in it changed."""
    if not path:
        return change(whole)
    step, *rest = path
    return tuple(
        (key, _replaced(value, tuple(rest), change) if key == step else value)
        for key, value in whole
    )


def _parsed(text: str, file: str) -> Node | None:
    root, _ = parse(text, file)
    return root


def _proved(after: RawText, expected: Said, file: str) -> RawText:
    """The changed text, if it says just what it should. Raises InsertError."""
    try:
        found = said(root_of(after, file))
    except KnowledgeError:
        raise _unforeseen(file) from None
    if found != expected:
        raise _unforeseen(file)
    return after


def _unforeseen(file: str) -> InsertError:
    return InsertError(
        f"{file}: this file is written in a way that nothing can be put into it safely. "
        "Nothing was changed; write the lines there in an editor."
    )
